package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"bainward/rules"
	"bainward/rules/batch/ledger"
)

// bottleTable lists bottles for people.
func bottleTable(all []ledger.Bottle, u rules.Units) string {
	rows := [][]string{{"bottle", "is", "left", "of", "stands", "use by", "smell at it"}}
	for _, o := range all {
		check := "-"
		if !o.CheckDue.IsZero() {
			check = "from " + o.CheckDue.String()
		}
		rows = append(rows, []string{o.ID, string(o.Status), bottleVolume(u, o.LeftMl), bottleVolume(u, o.FilledMl), placeWords(o.Place), o.UseBy.String(), check})
	}
	return table(rows)
}

func placeWords(p ledger.Place) string {
	if s, ok := p.Storage(); ok {
		return s.String()
	}
	return string(p)
}

func shelfText(all []ledger.Bottle, places []ledger.PlaceNow, u rules.Units, clock *time.Location) string {
	if len(all) == 0 {
		return "The shelf is empty, as far as the record knows.\n"
	}
	left := 0.0
	for _, o := range all {
		left += o.LeftMl
	}
	return bottleTable(all, u) + keptText(all, places, u, clock) + fmt.Sprintf("%s, %s in them. A date is no promise: what smells rancid is thrown away.\n", counted(len(all), "bottle"), bottleVolume(u, left))
}

// keptText says how warm bottles stood, where a probe measures it; bottles that came
// at one time to one place are one line.
func keptText(all []ledger.Bottle, places []ledger.PlaceNow, u rules.Units, clock *time.Location) string {
	var text strings.Builder
	for _, p := range places {
		fmt.Fprintf(&text, "%s, %s.\n", upperFirst(p.Place.Name()), p.Words(u))
	}
	said := map[string][]string{}
	var order []string
	for _, o := range all {
		k := o.Kept()
		if k == nil || o.Status == ledger.Empty {
			continue
		}
		words := fmt.Sprintf("stood %s since %s: %s", placeWords(o.Place), minute(o.Places[len(o.Places)-1].When, clock), k.Words(u))
		if o.Sooner > 0 {
			words += "; to be smelled at " + o.SoonerWords()
		}
		if said[words] == nil {
			order = append(order, words)
		}
		said[words] = append(said[words], o.ID)
	}
	for _, words := range order {
		fmt.Fprintf(&text, "%s %s.\n", firstAndLast(said[words]), words)
	}
	if text.Len() > 0 {
		text.WriteString(ledger.KineticWords + "\n")
	}
	return text.String()
}

// firstAndLast names bottles that come one after the other.
func firstAndLast(ids []string) string {
	if len(ids) == 1 {
		return ids[0]
	}
	return fmt.Sprintf("%s to %s (%d)", ids[0], ids[len(ids)-1], len(ids))
}

func dueText(due []ledger.Due, places []ledger.PlaceNow, today ledger.Day, u rules.Units) string {
	text := ""
	for _, p := range places {
		text += upperFirst(p.Wants(u)) + ".\n"
	}
	return text + bottlesDue(due, today, u)
}

func bottlesDue(due []ledger.Due, today ledger.Day, u rules.Units) string {
	if len(due) == 0 {
		return fmt.Sprintf("On %s no bottle wants anything done, as far as the record knows.\n", today)
	}
	rows := [][]string{{"bottle", "left", "stands", "what to do"}}
	for _, d := range due {
		rows = append(rows, []string{d.Bottle.ID, bottleVolume(u, d.Bottle.LeftMl), placeWords(d.Bottle.Place), d.Why})
	}
	return table(rows)
}

// recallText says what a lot went into: first what is still here, for that can be
// kept back at once, then where the rest went.
func recallText(r ledger.Recall, u rules.Units, clock *time.Location) string {
	w := planWriter{clock: clock}
	w.title("Lot " + r.Of)
	rows := [][]string{}
	for _, l := range r.Lots {
		f := l.Material.Fact
		rows = append(rows, []string{"went into batch " + l.Batch, fmt.Sprintf("%s of %s, lot %s", f.Quantity, f.Name, f.Lot), "entered by " + l.Material.Who})
	}
	w.b.WriteString(indented(table(rows)))
	w.into(r, u)
	w.b.WriteString("\n")
	w.text(0, "A whole batch is taken to hold some of every lot that went into it: this finds rather too much than too little. What nobody entered cannot be found.")
	return w.b.String()
}

// into writes what somebody must look for.
func (w *planWriter) into(r ledger.Recall, u rules.Units) {
	var here []ledger.Bottle
	for _, o := range r.Bottles {
		if o.LeftMl > 0 {
			here = append(here, o)
		}
	}
	w.title(fmt.Sprintf("Still here: %s", bottleVolume(u, r.LeftMl)))
	if len(here) == 0 {
		w.text(2, "No bottle of it has anything left in it.")
	} else {
		w.b.WriteString(indented(bottleTable(here, u)))
	}
	for _, p := range r.Products {
		w.text(2, productWords(p))
	}
	w.title("Went away")
	if len(r.References) == 0 {
		w.text(2, "Nothing, as far as the record knows.")
		return
	}
	var rows [][]string
	for _, f := range r.References {
		much := f.Much
		if much == "" {
			much = "not said how much"
		}
		rows = append(rows, []string{w.minute(f.When), f.From, "to " + f.To, much})
	}
	w.b.WriteString(indented(table(rows)))
}

func productWords(p ledger.Product) string {
	s := strings.TrimSpace("Product "+p.Number+" "+p.Name) + ", made from " + strings.Join(p.From, ", ")
	if p.Gone {
		return s + ": all of it went."
	}
	return s + "."
}

// trailText says all that is known of one bottle.
func trailText(t ledger.Trail, u rules.Units, clock *time.Location) string {
	w := planWriter{clock: clock}
	o := t.Bottle
	w.title("Bottle " + o.ID + ": " + string(o.Status))
	w.b.WriteString(indented(bottleTable([]ledger.Bottle{o}, u)))
	w.text(2, "The date comes from: "+o.UseByWhy+".")
	for _, note := range o.Notes() {
		w.text(2, note)
	}
	w.title("What happened to it")
	var rows [][]string
	for _, s := range o.Places {
		put := fmt.Sprintf("put %s (%s)", placeWords(s.Place), s.Who)
		if s.Kept != nil {
			put += "; " + s.Kept.Words(u)
		}
		rows = append(rows, []string{w.minute(s.When), put})
	}
	for _, c := range o.Checks {
		rows = append(rows, []string{w.minute(c.When), fmt.Sprintf("smelled at: %s (%s)", c.Smell, c.Who)})
	}
	for _, g := range o.Given {
		rows = append(rows, []string{w.minute(g.When), fmt.Sprintf("%s %s (%s)", bottleVolume(u, g.Ml), giftWords(g), g.Who)})
	}
	slices.SortStableFunc(rows, func(a, b []string) int { return strings.Compare(a[0], b[0]) })
	w.b.WriteString(indented(table(rows)))
	w.title("What stands behind it")
	rows = nil
	for _, l := range t.Behind.Lots {
		f := l.Material.Fact
		rows = append(rows, []string{"batch " + l.Batch, fmt.Sprintf("%s of %s", f.Quantity, f.Name), "lot " + f.Lot})
	}
	if len(rows) == 0 {
		w.text(2, "Nobody entered of which lots it was made.")
	}
	w.b.WriteString(indented(table(rows)))
	if len(t.Into.Products)+len(t.Into.References) > 0 {
		w.into(t.Into, u)
	}
	return w.b.String()
}

func giftWords(g ledger.Gift) string {
	words := "given"
	switch {
	case g.Thrown:
		words = "thrown away"
	case g.Product != "":
		words = "into " + strings.TrimSpace(g.Name+" "+g.Product)
	}
	if g.To != "" {
		words += ", reference " + g.To
	}
	if g.Despite != "" {
		words += "; though it should not: " + g.Despite
	}
	return words
}
