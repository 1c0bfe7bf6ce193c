package recipe

import (
	"math"

	"bainward/rules/batch"
	"bainward/rules/batch/larder"
	"bainward/rules/batch/strength"
)

const (
	// Oil that is measured is liquid, and not yet frying.
	minMeasured, maxMeasured = 5, 120
	// A kitchen scale is off by half a gram either way, so that less than this
	// says nothing about water; more is no sample.
	minSample, maxSample = 5, 10_000
	// Chopped herb takes between a quarter of a litre a kilogram (packed root) and
	// twenty (loose dried flowers); wide, own estimate, to catch litres for ml.
	leastBulk, mostBulk = 0.25, 20
)

// measured checks what the maker weighed and measured for the plan of a recipe;
// each may be left out.
func (c *checker) measured() batch.Given {
	w := &c.w
	if w.OilG != nil && w.OilML != nil {
		c.addf(OilG, "%s and %s exclude each other: give the oil one way, weighed if you can", c.words.name(OilG), c.words.name(OilML))
	}
	if w.OilMeasuredAt != nil && w.OilML == nil {
		c.addf(OilMeasuredAt, "%s means nothing without %s: a weight needs no temperature", c.words.name(OilMeasuredAt), c.words.name(OilML))
	}
	c.bulk()
	return batch.Given{
		Sample: c.sample(), HerbBulkML: or(w.HerbBulkML), OilKg: or(w.OilG) / 1000, OilAtC: or(w.OilMeasuredAt), Press: c.press(),
	}
}

func (c *checker) bulk() {
	bulk, herb := or(c.w.HerbBulkML), or(c.w.HerbG)
	switch {
	case c.w.HerbBulkML == nil:
	case c.w.HerbG == nil:
		c.addf(HerbBulkML, "%s means nothing without %s: the room that so much herb takes", c.words.name(HerbBulkML), c.words.name(HerbG))
	case bulk < minAmount || bulk > maxAmount: // said already
	case bulk < leastBulk*herb || bulk > mostBulk*herb:
		c.addf(HerbBulkML, "%s for %s cannot be: chopped herb takes %s to %s ml a gram",
			c.words.is(HerbBulkML, bulk), c.words.is(HerbG, herb), plain(leastBulk), plain(mostBulk))
	}
}

// sample checks the handful that was weighed before and after drying.
func (c *checker) sample() larder.Sample {
	w := &c.w
	if w.SampleFreshG == nil && w.SampleDriedG == nil {
		if w.SampleOven != nil {
			c.addf(SampleOven, "%s means nothing without %s and %s", c.words.name(SampleOven), c.words.name(SampleFreshG), c.words.name(SampleDriedG))
		}
		return larder.Sample{}
	}
	fresh, dried := or(w.SampleFreshG), or(w.SampleDriedG)
	c.within(SampleFreshG, minSample, maxSample)
	if math.IsNaN(dried) || math.IsInf(dried, 0) {
		c.addf(SampleDriedG, "%s is not a number to measure with", c.words.name(SampleDriedG))
	}
	switch {
	case w.SampleFreshG == nil || w.SampleDriedG == nil:
		missing := SampleDriedG
		if w.SampleFreshG == nil {
			missing = SampleFreshG
		}
		c.addf(missing, "%s and %s go together: a handful of the herb weighed before and after drying", c.words.name(SampleFreshG), c.words.name(SampleDriedG))
	case !w.Fresh:
		c.addf(SampleFreshG, "%s means nothing for dried herb: %s, or leave the sample out", c.words.name(SampleFreshG), c.words.sayFresh())
	case dried >= fresh:
		c.addf(SampleDriedG, "%s must be less than %s: drying takes water away", c.words.is(SampleDriedG, dried), c.words.is(SampleFreshG, fresh))
	case dried <= 0:
		c.addf(SampleDriedG, "%s must be more than %s", c.words.is(SampleDriedG, dried), c.words.value(SampleDriedG, 0))
	}
	return larder.Sample{FreshG: fresh, DriedG: dried, BoneDry: or(w.SampleOven)}
}

func (c *checker) press() strength.How {
	switch word := or(c.w.Press); word {
	case "hand":
		return strength.HandPressed
	case "screw":
		return strength.ScrewPressed
	case "none":
	default:
		if c.w.Press != nil {
			c.addf(Press, `%s must be "none" (strained by its own weight), "hand" (wrung in a cloth) or "screw"`, c.words.says(Press, word))
		}
	}
	return strength.Drained
}

// coldMl is about what kg of the oil measure at 20 °C, in whole ml.
func coldMl(oil string, kg float64) float64 {
	o := larder.FindOil(oil)
	return math.Round(kg / o.Density(20).P50 * 1e6)
}
