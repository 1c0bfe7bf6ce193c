package site

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
func (c *checker) measured(path string, t recipeTable) batch.Given {
	c.within(path, "oil_g", t.OilG, minAmount, maxAmount)
	c.within(path, "oil_measured_at_c", t.OilMeasuredAt, minMeasured, maxMeasured)
	c.within(path, "herb_bulk_ml", t.HerbBulkML, minAmount, maxAmount)
	if c.given(path+".oil_g") && c.given(path+".oil_ml") {
		c.addf(path+".oil_g", "oil_g and oil_ml exclude each other: give the oil one way, weighed if you can")
	}
	if c.given(path+".oil_measured_at_c") && !c.given(path+".oil_ml") {
		c.addf(path+".oil_measured_at_c", "oil_measured_at_c means nothing without oil_ml: a weight needs no temperature")
	}
	c.bulk(path, t)
	return batch.Given{
		Sample: c.sample(path, t), HerbBulkML: t.HerbBulkML, OilKg: t.OilG / 1000, OilAtC: t.OilMeasuredAt, Press: c.press(path, t.Press),
	}
}

func (c *checker) bulk(path string, t recipeTable) {
	key := path + ".herb_bulk_ml"
	switch {
	case !c.given(key):
	case !c.given(path + ".herb_g"):
		c.addf(key, "herb_bulk_ml means nothing without herb_g: the room that so much herb takes")
	case t.HerbBulkML < minAmount || t.HerbBulkML > maxAmount: // said already
	case t.HerbBulkML < leastBulk*t.HerbG || t.HerbBulkML > mostBulk*t.HerbG:
		c.addf(key, "herb_bulk_ml = %s for herb_g = %s cannot be: chopped herb takes %s to %s ml a gram",
			plain(t.HerbBulkML), plain(t.HerbG), plain(leastBulk), plain(mostBulk))
	}
}

// sample checks the handful that was weighed before and after drying.
func (c *checker) sample(path string, t recipeTable) larder.Sample {
	fresh, dried, oven := path+".sample_fresh_g", path+".sample_dried_g", path+".sample_oven_dried"
	if !c.given(fresh) && !c.given(dried) {
		if c.given(oven) {
			c.addf(oven, "sample_oven_dried means nothing without sample_fresh_g and sample_dried_g")
		}
		return larder.Sample{}
	}
	c.within(path, "sample_fresh_g", t.SampleFreshG, minSample, maxSample)
	switch {
	case !c.given(fresh) || !c.given(dried):
		c.addf(path, "sample_fresh_g and sample_dried_g go together: a handful of the herb weighed before and after drying")
	case !t.Fresh:
		c.addf(fresh, "sample_fresh_g means nothing for dried herb: write fresh = true, or leave the sample out")
	case t.SampleDriedG >= t.SampleFreshG:
		c.addf(dried, "sample_dried_g = %s must be less than sample_fresh_g = %s: drying takes water away",
			plain(t.SampleDriedG), plain(t.SampleFreshG))
	case t.SampleDriedG <= 0:
		c.addf(dried, "sample_dried_g = %s must be more than 0", plain(t.SampleDriedG))
	}
	return larder.Sample{FreshG: t.SampleFreshG, DriedG: t.SampleDriedG, BoneDry: t.SampleOven}
}

func (c *checker) press(path, word string) strength.How {
	switch word {
	case "hand":
		return strength.HandPressed
	case "screw":
		return strength.ScrewPressed
	case "none":
	default:
		if c.given(path + ".press") {
			c.addf(path+".press", `press = %q must be "none" (strained by its own weight), "hand" (wrung in a cloth) or "screw"`, word)
		}
	}
	return strength.Drained
}

// coldMl is about what kg of the oil measure at 20 °C, in whole ml.
func coldMl(oil string, kg float64) float64 {
	o := larder.FindOil(oil)
	return math.Round(kg / o.Density(20).P50 * 1e6)
}
