package rules

// Say turns a finding into one sentence for people; one that is not raised has
// nothing to say.
func Say(id ID, f Finding, u Units) string {
	if f.Level != Raised {
		return ""
	}
	switch id {
	case BoilingDry:
		return sayBoilingDry(f, u)
	case Overheating:
		return sayOverheating(f, u)
	case DishBare:
		return sayDishBare(f, u)
	case TopUpDue:
		return sayTopUpDue(f, u)
	case BathSilent:
		return sayBathSilent(f, u)
	case ProbeSilent:
		return sayProbeSilent(f, u)
	case ProbeDoubtful:
		return sayProbeDoubtful(f, u)
	case OffTheSimmer:
		return sayOffTheSimmer(f, u)
	case TooShort:
		return sayTooShort(f, u)
	case WarmBottling:
		return sayWarmBottling(f, u)
	}
	return ""
}

// Advice says what to do now about a rule's alarm.
func Advice(id ID) string {
	return [IDCount]string{
		BoilingDry:    adviceBoilingDry,
		Overheating:   adviceOverheating,
		DishBare:      adviceDishBare,
		TopUpDue:      adviceTopUpDue,
		BathSilent:    adviceBathSilent,
		ProbeSilent:   adviceProbeSilent,
		ProbeDoubtful: adviceProbeDoubtful,
		OffTheSimmer:  adviceOffTheSimmer,
		TooShort:      adviceTooShort,
		WarmBottling:  adviceWarmBottling,
	}[id]
}
