package larder

import (
	"math"
	"strings"

	"bainward/rules/batch/amount"
	"bainward/rules/steam"
)

// Oil is what is known of a base oil.
type Oil struct {
	Name      string // as recipes say it: "olive"
	Botanical string
	INCI      string // as ingredient lists write it
	Allergen  string // what people may be allergic to; "": nothing is kept here
	Known     bool   // false: a stand-in for an oil that is not in the table
	Source    string // of the density
	// low and high are densities against water of 20 °C, with the oil at atC.
	low, high, atC float64
}

// codex names the standard that most rows come from.
const codex = "Codex STAN 210-1999, table 2, relative density (from memory)"

// Oils returns the table, in alphabetical order of the names.
func Oils() []Oil {
	return []Oil{
		{Name: "almond", Botanical: "Prunus dulcis", INCI: "Prunus Amygdalus Dulcis Oil", Allergen: "almonds and other nuts", low: 0.911, high: 0.920, atC: 20, Source: "Ph. Eur., almond oil (from memory)"},
		{Name: "apricot kernel", Botanical: "Prunus armeniaca", INCI: "Prunus Armeniaca Kernel Oil", low: 0.910, high: 0.923, atC: 20, Source: "from memory, without a document"},
		{Name: "avocado", Botanical: "Persea americana", INCI: "Persea Gratissima Oil", low: 0.910, high: 0.920, atC: 20, Source: "from memory, without a document"},
		{Name: "coconut", Botanical: "Cocos nucifera", INCI: "Cocos Nucifera Oil", low: 0.908, high: 0.921, atC: 40, Source: codex},
		{Name: "grapeseed", Botanical: "Vitis vinifera", INCI: "Vitis Vinifera Seed Oil", low: 0.920, high: 0.926, atC: 20, Source: codex},
		{Name: "hazelnut", Botanical: "Corylus avellana", INCI: "Corylus Avellana Seed Oil", Allergen: "hazelnuts and other nuts", low: 0.911, high: 0.920, atC: 20, Source: "from memory, without a document"},
		{Name: "jojoba", Botanical: "Simmondsia chinensis", INCI: "Simmondsia Chinensis Seed Oil", low: 0.862, high: 0.872, atC: 20, Source: "from memory, without a document (a liquid wax)"},
		{Name: "maize", Botanical: "Zea mays", INCI: "Zea Mays Germ Oil", low: 0.917, high: 0.925, atC: 20, Source: codex},
		{Name: "olive", Botanical: "Olea europaea", INCI: "Olea Europaea Fruit Oil", low: 0.910, high: 0.916, atC: 20, Source: "Codex STAN 33-1981, relative density 0.910 to 0.916 (from memory)"},
		{Name: "peanut", Botanical: "Arachis hypogaea", INCI: "Arachis Hypogaea Oil", Allergen: "peanuts", low: 0.909, high: 0.920, atC: 20, Source: codex},
		{Name: "rapeseed", Botanical: "Brassica napus", INCI: "Brassica Napus Seed Oil", low: 0.910, high: 0.920, atC: 20, Source: codex},
		{Name: "safflower", Botanical: "Carthamus tinctorius", INCI: "Carthamus Tinctorius Seed Oil", low: 0.922, high: 0.927, atC: 20, Source: codex},
		{Name: "sesame", Botanical: "Sesamum indicum", INCI: "Sesamum Indicum Seed Oil", Allergen: "sesame", low: 0.915, high: 0.924, atC: 20, Source: codex},
		{Name: "soya", Botanical: "Glycine max", INCI: "Glycine Soja Oil", Allergen: "soya", low: 0.919, high: 0.925, atC: 20, Source: codex},
		{Name: "sunflower", Botanical: "Helianthus annuus", INCI: "Helianthus Annuus Seed Oil", low: 0.909, high: 0.923, atC: 20, Source: codex + ", high-oleic oil included"},
	}
}

// otherNames are words by which recipes call an oil of the table.
func otherNames() map[string]string {
	return map[string]string{
		"sweet almond": "almond", "corn": "maize", "grape seed": "grapeseed", "canola": "rapeseed", "colza": "rapeseed", "arachis": "peanut",
		"groundnut": "peanut", "soybean": "soya", "soy": "soya", "apricot": "apricot kernel",
	}
}

// FindOil looks up an oil by a common or botanical name: "olive", "Extra virgin
// olive oil", "Olea europaea". The longest name found in the words counts. An
// oil that is not in the table is a stand-in as heavy as any vegetable oil may
// be, with Known false.
func FindOil(name string) Oil {
	text := " " + plainWords(name) + " "
	var best Oil
	longest := 0
	try := func(word string, o Oil) {
		if len(word) > longest && strings.Contains(text, " "+word+" ") {
			best, longest = o, len(word)
		}
	}
	other := otherNames()
	for _, o := range Oils() {
		try(o.Name, o)
		try(plainWords(o.Botanical), o)
		try(strings.TrimSuffix(plainWords(o.INCI), " oil"), o)
		for word, of := range other {
			if of == o.Name {
				try(word, o)
			}
		}
	}
	if longest > 0 {
		best.Known = true
		return best
	}
	return Oil{
		Name: strings.TrimSpace(name), INCI: titleWords(plainWords(name)), low: 0.860, high: 0.930, atC: 20,
		Source: "not in the table: from jojoba, the lightest, to safflower, the heaviest",
	}
}

const (
	// slope: oils lose 0.67 kg/m³ a kelvin, for they expand by 7.2 to 7.4e-4 of
	// their volume (Coupland and McClements, JAOCS 74 (1997) 1559; numbers from
	// memory).
	slope, slopeDoubt = -0.67, 0.01
	referenceC        = 20.0
)

// Density returns the density in kg/m³ of the liquid oil at celsius.
func (o Oil) Density(celsius float64) amount.Range {
	water := steam.Density(referenceC)
	from := celsius - o.atC
	doubt := float64(slopeDoubt * math.Abs(from))
	low, high := float64(o.low*water), float64(o.high*water)
	fall := float64(slope * from)
	return amount.Between(low+fall-doubt, float64((low+high)/2)+fall, high+fall+doubt)
}

// Kg returns the mass in kg of ml measured at celsius.
func (o Oil) Kg(ml, celsius float64) amount.Range {
	return amount.Times(o.Density(celsius), ml/1e6)
}

// Ml returns the volume in ml that mass kg takes at celsius.
func (o Oil) Ml(kg amount.Range, celsius float64) amount.Range {
	return amount.Propagate(func(x []float64) float64 { return x[0] / x[1] * 1e6 }, kg, o.Density(celsius))
}

// MlAt returns what ml measured at fromC measure at toC. Which oil exactly it
// is matters little here, for it is the same oil both times: only the doubt
// about the expansion counts.
func (o Oil) MlAt(ml, fromC, toC float64) amount.Range {
	rho := o.Density(referenceC).P50 - float64(slope*(referenceC-fromC))
	apart := toC - fromC
	at := func(x []float64) float64 { return ml * rho / (rho + float64(x[0]*apart)) }
	return amount.Propagate(at, amount.Between(slope-slopeDoubt, slope, slope+slopeDoubt))
}
