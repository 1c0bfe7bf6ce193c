package dashboards

import "testing"

// Whoever reads the line must never take heat that may be on for heat that is off.
func TestACutoutNeverSaysMoreThanItDid(t *testing.T) {
	for _, c := range []struct {
		cutout       Cutout
		stands, says string
	}{
		{Cutout{Allow: true}, "allowed", "Heat allowed."},
		{Cutout{Tripped: "boiling-dry"}, "cut", "Heat cut by boiling-dry. It stays off until somebody gives it back."},
		{Cutout{Why: "the bath was not read for 10s"}, "cut", "Heat cut: the bath was not read for 10s."},
		{Cutout{Tripped: "boiling-dry", Fault: "no pin"}, "fault", "Heat not cut: it may still be on. Turn it off by hand."},
		{Cutout{Allow: true, Fault: "no pin"}, "fault", "Heat allowed, but it could not be switched."},
	} {
		if stands, says := c.cutout.Stands(), c.cutout.Says(); stands != c.stands || says != c.says {
			t.Errorf("%+v: %s, %q; want %s, %q", c.cutout, stands, says, c.stands, c.says)
		}
	}
	if got, want := (Cutout{}).Caution(), "The cut-out is no substitute for a safety device."; got != want {
		t.Errorf("the caution is %q, want %q", got, want)
	}
}
