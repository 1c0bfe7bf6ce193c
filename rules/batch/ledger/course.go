package ledger

import "time"

// Course is how a batch went under the eyes of the rules; whoever folds its
// readings fills it in.
type Course struct {
	Phases    []PhaseAt    `json:"phases"`
	Passes    []PassCourse `json:"macerations"`
	HoldS     float64      `json:"hold_s"` // of the last maceration
	AskedS    float64      `json:"hold_asked_s"`
	OilMaxC   *float64     `json:"oil_max_c"` // the hottest; nil: not known
	TopUps    int          `json:"top_ups"`
	Verdict   string       `json:"verdict"` // a word of rules.Verdict
	Alarms    int          `json:"alarms"`  // how often one called somebody
	AlarmKind []AlarmOf    `json:"alarms_by_kind"`
	Called    []AlarmCall  `json:"alarms_in_order"`
	Deeds     []Deed       `json:"deeds"`
	// OpenedBy entered the first thing that was done, EndedBy the bottling or the
	// giving up; empty: nobody did.
	OpenedBy string `json:"opened_by,omitzero"`
	EndedBy  string `json:"ended_by,omitzero"`
}

// PhaseAt is a batch coming into a phase.
type PhaseAt struct {
	When  time.Time `json:"when"`
	Phase string    `json:"phase"`
	Pass  int       `json:"maceration"`
}

// PassCourse is how one maceration went.
type PassCourse struct {
	Pass    int       `json:"maceration"` // from 1
	From    time.Time `json:"from,omitzero"`
	To      time.Time `json:"to,omitzero"` // the dish left the heat; zero: it has not
	HoldS   float64   `json:"hold_s"`
	AskedS  float64   `json:"hold_asked_s"`
	OilMaxC *float64  `json:"oil_max_c"` // the hottest in this maceration; nil: not known
	// Verdict is a word of rules.Verdict, of this maceration alone. But oil that
	// was spoiled once stays so.
	Verdict string `json:"verdict"`
}

// AlarmOf is how often one alarm called.
type AlarmOf struct {
	Alarm string `json:"alarm"`
	Times int    `json:"times"`
}

// AlarmCall is one alarm that called somebody.
type AlarmCall struct {
	Alarm        string    `json:"alarm"`    // a word of rules.ID
	Priority     string    `json:"priority"` // a word of alarm.Priority
	Raised       time.Time `json:"raised"`
	Acknowledged time.Time `json:"acknowledged,omitzero"` // zero: nobody did
	By           string    `json:"by,omitzero"`
}

// Deed is something that a person did to a bath, in the words of the record.
type Deed struct {
	Entry    int64     `json:"entry"`
	When     time.Time `json:"when"`
	Text     string    `json:"text"`
	Who      string    `json:"who"`
	Voided   bool      `json:"voided,omitzero"` // it was taken back
	Why      string    `json:"void_reason,omitzero"`
	VoidedBy string    `json:"voided_by,omitzero"`
}

// Sheet is everything there is to say of a batch: what it was made of and became,
// and how it went.
type Sheet struct {
	Account
	Course Course `json:"course"`
}
