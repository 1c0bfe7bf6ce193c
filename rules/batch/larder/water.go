package larder

import "bainward/rules/batch/amount"

// Share is a share from 0 to 1 of a herb's weight, with its source.
type Share struct {
	amount.Range
	Source string
}

const (
	// usda names the table whose figures are means of food plants. Plants of one
	// kind differ by some five points with age, weather and wilting.
	usda = "USDA FoodData Central, SR Legacy (figure from memory; 5 points either way is a guess)"
	// papers marks spans remembered from single papers.
	papers = "papers on the plant (span from memory, 60 to 70 % sure)"
	// pharmacopoeia limits the loss on drying, or the water, of dried herbs.
	pharmacopoeia = "Ph. Eur. limit for this dried herb (from memory), the rest a guess"
)

// wet is a row of the table of fresh herbs' water.
type wet struct {
	genus, species string
	part           Part // AnyPart: whichever part is used
	low, mid, high float64
	source         string
}

// mean is a row of which only the mean is published.
func mean(genus, species string, part Part, share float64) wet {
	return wet{genus, species, part, share - 0.05, share, min(share+0.05, 0.97), usda}
}

func waters() []wet {
	return []wet{
		{"Calendula", "officinalis", Flower, 0.84, 0.865, 0.89, papers},
		{"Hypericum", "perforatum", AnyPart, 0.65, 0.70, 0.75, papers},
		{"Lavandula", "angustifolia", AnyPart, 0.60, 0.65, 0.70, papers},
		mean("Mentha", "piperita", AnyPart, 0.7865),
		mean("Mentha", "spicata", AnyPart, 0.8555),
		mean("Ocimum", "basilicum", AnyPart, 0.9206),
		mean("Petroselinum", "crispum", AnyPart, 0.8771),
		{"Plantago", "lanceolata", Leaf, 0.80, 0.83, 0.86, papers},
		mean("Salvia", "rosmarinus", AnyPart, 0.6777),
		{"Symphytum", "officinale", Leaf, 0.86, 0.88, 0.90, papers},
		mean("Taraxacum", "officinale", Leaf, 0.8560),
		mean("Thymus", "vulgaris", AnyPart, 0.6511),
		mean("Urtica", "dioica", Leaf, 0.8767), // of blanched nettles
	}
}

// wetOf stands in where the table has no row.
func wetOf(p Part) Share {
	const source = "not in the table: own guess for a plant part of this kind; weigh a sample before and after drying"
	switch p {
	case Root, Bark:
		return Share{amount.Between(0.60, 0.72, 0.82), source}
	case Seed:
		return Share{amount.Between(0.20, 0.45, 0.70), source}
	case Flower:
		return Share{amount.Between(0.72, 0.82, 0.89), source}
	}
	return Share{amount.Between(0.66, 0.79, 0.90), source}
}

// mostInDried is the most water that the pharmacopoeia lets the dried herb hold.
func mostInDried(genus, species string) (float64, bool) {
	switch genus + " " + species {
	case "Calendula officinalis", "Matricaria chamomilla":
		return 0.12, true
	case "Hypericum perforatum", "Salvia rosmarinus", "Plantago lanceolata":
		return 0.10, true
	}
	return 0.12, false
}

// ReferenceDry is the share of water at which a herb counts as dry in every
// equivalence of this program: dried herb in trade holds some 10 % (the usual
// limits of the pharmacopoeia are 10 to 12 %).
const ReferenceDry = 0.10

// Water returns the share of water in a herb, fresh or dried, as the tables
// have it.
func Water(n Name, fresh bool) Share {
	if !fresh {
		most, known := mostInDried(n.Genus, n.Species)
		if known {
			return Share{amount.Between(0.07, ReferenceDry, most), pharmacopoeia}
		}
		return Share{amount.Between(0.06, ReferenceDry, most), "usual limits of the Ph. Eur. for dried herbs, 10 to 12 % (from memory), the rest a guess"}
	}
	for _, w := range waters() {
		same := w.genus == n.Genus && w.species == n.Species
		if same && (w.part == AnyPart || n.Part == AnyPart || w.part == n.Part) {
			return Share{amount.Between(w.low, w.mid, w.high), w.source}
		}
	}
	return wetOf(n.Part)
}
