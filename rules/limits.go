package rules

// Limits holds what each rule goes by. Each rule's file says what its limits
// mean and where they come from. The site file names them by rule.
type Limits struct {
	Overheating   OverheatingLimits `toml:"overheating" json:"overheating"`
	BoilingDry    BoilingDryLimits  `toml:"boiling-dry" json:"boiling_dry"`
	DishBare      DishBareLimits    `toml:"dish-bare" json:"dish_bare"`
	TopUpDue      TopUpLimits       `toml:"top-up-due" json:"top_up_due"`
	OffTheSimmer  SimmerLimits      `toml:"off-the-simmer" json:"off_the_simmer"`
	TooShort      TooShortLimits    `toml:"too-short" json:"too_short"`
	ProbeSilent   SilentLimits      `toml:"probe-silent" json:"probe_silent"`
	ProbeDoubtful DoubtLimits       `toml:"probe-doubtful" json:"probe_doubtful"`
	BathSilent    SilentLimits      `toml:"bath-silent" json:"bath_silent"`
	WarmBottling  BottlingLimits    `toml:"warm-bottling" json:"warm_bottling"`
}

// DefaultLimits returns the limits that hold when the site file names none.
func DefaultLimits() Limits {
	return Limits{
		Overheating:   defaultOverheating,
		BoilingDry:    defaultBoilingDry,
		DishBare:      defaultDishBare,
		TopUpDue:      defaultTopUp,
		OffTheSimmer:  defaultSimmer,
		TooShort:      defaultTooShort,
		ProbeSilent:   defaultProbeSilent,
		ProbeDoubtful: defaultDoubt,
		BathSilent:    defaultBathSilent,
		WarmBottling:  defaultBottling,
	}
}
