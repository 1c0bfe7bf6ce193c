package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"time"

	"bainward/daemon/site"
	"bainward/rules/batch"
	"bainward/rules/batch/amount"
	"bainward/rules/batch/briefing"
)

type planCommand struct {
	Site   string   `required:"" placeholder:"FILE" help:"The site file."`
	Bath   string   `required:"" placeholder:"NAME" help:"The bath in which it is to be made."`
	Recipe string   `placeholder:"NAME" help:"The recipe; the first of the site file if none is named."`
	Record string   `placeholder:"DIR" help:"Folder of the record, for a recipe that was made on the page."`
	OilG   *float64 `placeholder:"N" xor:"oil" help:"Oil weighed in, in grams, if not as in the recipe."`
	OilOz  *float64 `placeholder:"N" xor:"oil" help:"The same in ounces."`
	HerbG  *float64 `placeholder:"N" xor:"herb" help:"Herb weighed in, in grams, if not as in the recipe."`
	HerbOz *float64 `placeholder:"N" xor:"herb" help:"The same in ounces."`
	WaterG *float64 `placeholder:"N" xor:"water" help:"Water put into the pan, in grams, if you have your own mind about it."`

	WaterOz *float64 `placeholder:"N" xor:"water" help:"The same in ounces (by weight)."`

	At      string `placeholder:"HH:MM" help:"When the heat is to be turned on; now if it is not said."`
	Sources bool   `help:"Print every figure with its source, too."`
	JSON    bool   `name:"json" help:"Write one JSON document for programs."`
}

// Run prints the plan of a batch. It opens no probe: the pressure follows from
// the site's height. The page of a running daemon knows the pressure of the day.
func (c *planCommand) Run(ctx context.Context, out io.Writer) error {
	s, err := site.Load(c.Site)
	if err != nil {
		return err
	}
	if s, err = withMade(ctx, s, c.Record); err != nil {
		return err
	}
	ask, err := s.Ask(c.Bath, c.Recipe)
	if err != nil {
		return err
	}
	change, err := c.change()
	if err != nil {
		return fmt.Errorf("plan a batch: %w", err)
	}
	lit := time.Now().Truncate(time.Minute)
	if s.Zone != nil {
		lit = lit.In(s.Zone)
	}
	if c.At != "" {
		if lit, err = briefing.ParseClock(c.At, lit); err != nil {
			return fmt.Errorf("plan a batch: %w", err)
		}
	}
	plan := batch.Reckon(change.On(ask))
	b := briefing.Of(&plan, briefing.About{Bath: c.Bath, Units: s.Units, Lit: lit})
	if c.JSON {
		err = json.NewEncoder(out).Encode(b)
	} else {
		_, err = io.WriteString(out, planText(b, c.Sources))
	}
	if err != nil {
		return fmt.Errorf("write the plan: %w", err)
	}
	return nil
}

// change is what the command line says in the place of the site file.
func (c *planCommand) change() (briefing.Change, error) {
	var change briefing.Change
	for _, w := range []struct {
		what string
		g    *float64
		oz   *float64
		kg   *float64
	}{
		{"oil", c.OilG, c.OilOz, &change.OilKg}, {"herb", c.HerbG, c.HerbOz, &change.HerbKg}, {"water", c.WaterG, c.WaterOz, &change.WaterKg},
	} {
		switch {
		case w.g != nil:
			*w.kg = *w.g / 1000
		case w.oz != nil:
			*w.kg = *w.oz * amount.KgPerOunce
		default:
			continue
		}
		if err := briefing.CheckWeight(w.what, *w.kg); err != nil {
			return change, err
		}
	}
	return change, nil
}
