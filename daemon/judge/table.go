package judge

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"bainward/rules"
)

// sample is a heap of numbers.
type sample struct{ xs []float64 }

func (s *sample) add(x float64) {
	if !math.IsNaN(x) {
		s.xs = append(s.xs, x)
	}
}

// at returns the quantile q, or NaN.
func (s *sample) at(q float64) float64 {
	if len(s.xs) == 0 {
		return math.NaN()
	}
	slices.Sort(s.xs)
	return s.xs[int(q*float64(len(s.xs)-1)+0.5)]
}

func (s *sample) beyond(limit float64) (n int) {
	for _, x := range s.xs {
		if x > limit {
			n++
		}
	}
	return n
}

// merge adds the sums of o.
func (s *Score) merge(o *Score) {
	s.courses += o.courses
	s.falsePours += o.falsePours
	s.hours += o.hours
	for i := range s.noise {
		s.noise[i] += o.noise[i]
	}
	shares, others := s.shares(), o.shares()
	for i := range shares {
		shares[i].yes += others[i].yes
		shares[i].of += others[i].of
	}
	samples, more := s.samples(), o.samples()
	for i := range samples {
		samples[i].xs = append(samples[i].xs, more[i].xs...)
	}
}

func (s *Score) shares() []*share {
	l := []*share{&s.warned, &s.dry, &s.misled, &s.quiet, &s.noticed, &s.herb}
	for q := range s.cover {
		l = append(l, &s.cover[q])
	}
	return l
}

func (s *Score) samples() []*sample {
	return []*sample{&s.lead, &s.unspent, &s.unspentIn, &s.bareErr, &s.dryLate, &s.herbErr, &s.widthToBare, &s.boilErr, &s.boilErr0, &s.marginErr}
}

// Write prints the table.
func (s *Score) Write(w io.Writer) {
	row := func(figure, is, aim string) { fmt.Fprintf(w, "%-52s  %-40s  %s\n", figure, is, aim) }
	row("figure", "is", "aim")
	row(strings.Repeat("-", 52), strings.Repeat("-", 40), strings.Repeat("-", 20))
	row("baths", fmt.Sprintf("%d courses, %.0f h", s.courses, s.hours), "")
	row("no top-up: top-up-due before the base is bare", s.warned.String(), "100 %")
	row("  ahead by", fmt.Sprintf("median %.1f min (p10 %.1f, p90 %.1f)", s.lead.at(0.5)/60, s.lead.at(0.1)/60, s.lead.at(0.9)/60), "median 5 to 15 min")
	row("  margin unspent at the first warning", fmt.Sprintf("p50 %.0f %%, p90 %.0f %%; over 75 %%: %d", 100*s.unspent.at(0.5), 100*s.unspent.at(0.9), s.unspent.beyond(0.75)), "never over 75 %")
	row("  margin unspent after a top-up", fmt.Sprintf("p50 %.0f %%, p90 %.0f %%; over 40 %%: %d of %d", 100*s.unspentIn.at(0.5), 100*s.unspentIn.at(0.9), s.unspentIn.beyond(0.4), len(s.unspentIn.xs)), "never over 40 %")
	row("time to bare, error 5 min after a logged top-up", fmt.Sprintf("median %.0f %%, p90 %.0f %%", 100*s.bareErr.at(0.5), 100*s.bareErr.at(0.9)), "median 10 %, p90 25 %")
	row("  width of p10-p90 over the truth", fmt.Sprintf("median %.0f %%", 100*s.widthToBare.at(0.5)), "")
	row("error of the boil-off after a top-up", signed(&s.boilErr), "")
	row("  before the first, 15 min after the fill", signed(&s.boilErr0), "")
	row("  of the water left, kg", fmt.Sprintf("p10 %+.2f, p50 %+.2f, p90 %+.2f", s.marginErr.at(0.1), s.marginErr.at(0.5), s.marginErr.at(0.9)), "")
	for q, c := range s.cover {
		row("p10-p90 covers: "+quantityNames[q], c.String(), "75 to 88 %")
	}
	row("boiling-dry within 60 s (floor), 180 s (hanging)", fmt.Sprintf("%s; p50 %.0f s, p99 %.0f s", s.dry.String(), s.dryLate.at(0.5), s.dryLate.at(0.99)), "99 %")
	row("dish-bare within 10 min, estimate led astray", s.misled.String(), "90 %")
	row("tended baths without a false alarm", s.quiet.String()+s.noises(), "all of 200")
	row("unentered water of 0.2 kg or more noticed", s.noticed.String(), "95 %")
	row("  false ones", fmt.Sprintf("%.2f in 20 h", float64(s.falsePours)/s.hours*20), "under 1 in 20 h")
	row("herb water gone, called within 15 min", fmt.Sprintf("%s; p10 %+.0f, p50 %+.0f, p90 %+.0f min", s.herb.String(), s.herbErr.at(0.1), s.herbErr.at(0.5), s.herbErr.at(0.9)), "80 %")
}

func (s share) String() string {
	if s.of == 0 {
		return "none seen"
	}
	return fmt.Sprintf("%.1f %% (%d of %d)", 100*s.part(), s.yes, s.of)
}

func (s *Score) noises() string {
	var b strings.Builder
	for id, n := range s.noise {
		if n > 0 {
			fmt.Fprintf(&b, " %s %d", rules.ID(id), n)
		}
	}
	return b.String()
}

func signed(s *sample) string {
	return fmt.Sprintf("p10 %+.0f %%, p50 %+.0f %%, p90 %+.0f %%", 100*s.at(0.1), 100*s.at(0.5), 100*s.at(0.9))
}
