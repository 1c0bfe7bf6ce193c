package ledger

import "time"

// Course is how a batch went under the eyes of the rules; whoever folds its
// readings fills it in.
type Course struct {
	Phases    []PhaseAt `json:"phases"`
	HoldS     float64   `json:"hold_s"`
	AskedS    float64   `json:"hold_asked_s"`
	OilMaxC   *float64  `json:"oil_max_c"` // the hottest; nil: not known
	TopUps    int       `json:"top_ups"`
	Verdict   string    `json:"verdict"` // a word of rules.Verdict
	Alarms    int       `json:"alarms"`  // how often one called somebody
	AlarmKind []AlarmOf `json:"alarms_by_kind"`
}

// PhaseAt is a batch coming into a phase.
type PhaseAt struct {
	When  time.Time `json:"when"`
	Phase string    `json:"phase"`
	Pass  int       `json:"maceration"`
}

// AlarmOf is how often one alarm called.
type AlarmOf struct {
	Alarm string `json:"alarm"`
	Times int    `json:"times"`
}

// Sheet is everything there is to say of a batch: what it was made of and became,
// and how it went.
type Sheet struct {
	Account
	Course Course `json:"course"`
}
