package dashboards

// CutoutCaution stands beside everything that is said of a cut-out.
const CutoutCaution = "the cut-out is no substitute for a safety device"

// Cutout is what a page shows of the heat cut-out of a bath.
type Cutout struct {
	Bath    string `json:"-"`
	Allow   bool   `json:"allow"`   // the heat may be on
	Why     string `json:"why"`     // a clause without capital or full stop
	Tripped string `json:"tripped"` // the alarm that cut it, and it was not given back; empty: none
	Fault   string `json:"fault"`   // why the heat could not be switched; empty: it could
}

// Stands is a word for programs and the style sheet: fault, cut or allowed.
func (c Cutout) Stands() string {
	switch {
	case c.Fault != "":
		return "fault"
	case c.Allow:
		return "allowed"
	}
	return "cut"
}

// Says is the cut-out in one line. What was told to switch and did not is never
// said to have done it.
func (c Cutout) Says() string {
	switch {
	case c.Fault != "" && c.Allow:
		return "Heat allowed, but it could not be switched."
	case c.Fault != "":
		return "Heat not cut: it may still be on. Turn it off by hand."
	case c.Allow:
		return "Heat allowed."
	case c.Tripped != "":
		return "Heat cut by " + c.Tripped + ". It stays off until somebody gives it back."
	}
	return "Heat cut: " + c.Why + "."
}

// Caution is CutoutCaution as a sentence.
func (Cutout) Caution() string { return "The" + CutoutCaution[len("the"):] + "." }
