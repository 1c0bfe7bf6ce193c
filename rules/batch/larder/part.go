package larder

import "strings"

// Part is the part of a plant that is used.
type Part uint8

// The parts.
const (
	AnyPart Part = iota // nobody said which
	Leaf
	Flower
	Tops // flowering tops, the herb as a whole
	Root
	Seed
	Fruit
	Bark
	Bud
	partCount
)

var partNames = [partCount]string{"", "leaf", "flower", "flowering tops", "root", "seed", "fruit", "bark", "bud"}

// partINCI is how ingredient lists write a part.
var partINCI = [partCount]string{"", "Leaf", "Flower", "Flower/Leaf/Stem", "Root", "Seed", "Fruit", "Bark", "Bud"}

func (p Part) String() string {
	if p < partCount {
		return partNames[p]
	}
	return "unknown part"
}

// partOf reads a part from a single plain word, English or the Latin of
// pharmacies.
func partOf(word string) (Part, bool) {
	switch strings.TrimSuffix(word, "s") {
	case "leaf", "leave", "folium":
		return Leaf, true
	case "flower", "flo", "petal", "blossom", "head":
		return Flower, true
	case "top", "herb", "herba", "aerial", "flowering", "plant":
		return Tops, true
	case "root", "radix", "rhizome", "rhizoma":
		return Root, true
	case "seed", "semen":
		return Seed, true
	case "fruit", "berry", "berrie", "fructu", "hip":
		return Fruit, true
	case "bark", "cortex":
		return Bark, true
	case "bud", "gemma":
		return Bud, true
	}
	return AnyPart, false
}
