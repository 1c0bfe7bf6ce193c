package rules

import (
	"fmt"
	"time"

	"bainward/sensors"
)

// SilentLimits are what the rules probe-silent and bath-silent go by.
type SilentLimits struct {
	// AfterS: a probe that has answered nothing for so long is silent. Loose
	// contacts in a damp kitchen come back within seconds; a pan that boils
	// with 20 s unseen has lost under 10 g.
	AfterS float64 `toml:"after_s" json:"after_s"`
}

var (
	defaultProbeSilent = SilentLimits{AfterS: 15}
	defaultBathSilent  = SilentLimits{AfterS: 20}
)

func (l SilentLimits) after() time.Duration { return time.Duration(l.AfterS * float64(time.Second)) }

// judgeBathSilent finds a bath of which nothing is known any more: neither its
// oil nor its water gives a trusted reading while a batch is in hand.
func judgeBathSilent(cfg *Config, s *State, v *sight) Finding {
	if !s.course.lit {
		return clear
	}
	after := cfg.Limits.BathSilent.after()
	if v.oil.silent(v.now, after) && v.bath.silent(v.now, after) && !v.oil.tooHot() && !v.bath.tooHot() {
		return raised(0, (v.now - max(v.oil.since, v.bath.since)).Seconds(), 0)
	}
	return clear
}

// judgeProbeSilent finds one probe that no longer answers. When both are gone
// from a lit bath it is bath-silent that speaks.
func judgeProbeSilent(cfg *Config, s *State, v *sight) Finding {
	if !s.Begun() || s.course.strained() {
		return clear // the probes are out and washed; nothing waits for them
	}
	after := cfg.Limits.ProbeSilent.after()
	var gone [2]bool
	for r := range gone {
		p := &s.probes[r]
		gone[r] = p.silent(v.now, after) && wordless(p.fault)
	}
	switch {
	case gone[sensors.Oil] && gone[sensors.Bath] && s.course.lit:
		return clear
	case gone[sensors.Oil]:
		return raised(Cause(sensors.Oil), (v.now - v.oil.since).Seconds(), 0)
	case gone[sensors.Bath]:
		return raised(Cause(sensors.Bath), (v.now - v.bath.since).Seconds(), 0)
	case v.oil.bad > 0 || v.bath.bad > 0:
		return s.last[ProbeSilent]
	}
	return clear
}

// wordless tells a probe that says nothing from one that talks nonsense.
func wordless(f sensors.Fault) bool {
	switch f {
	case sensors.NotFitted, sensors.Absent, sensors.AllOnes, sensors.Stale:
		return true
	}
	return false
}

func sayBathSilent(f Finding, _ Units) string {
	return fmt.Sprintf("Neither probe of this bath has given a reading to trust for %s. Nobody is watching it.", Minutes(secondsOf(f.A)))
}

func sayProbeSilent(f Finding, _ Units) string {
	return fmt.Sprintf("The %s probe has not answered for %s.", sensors.Role(f.Cause), Minutes(secondsOf(f.A)))
}

const (
	adviceBathSilent  = "Go and look at the bath now, and stay with it or turn the heat off. Then check the plug, the cable and the bridge that both probes share."
	adviceProbeSilent = "Look at the bath yourself until the probe is back. Check its plug and cable; keep the cable off hot metal and flame."
)
