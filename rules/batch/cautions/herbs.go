package cautions

import (
	"fmt"
	"slices"

	"bainward/rules/batch/larder"
)

// row is a caution about every plant of a genus, or only of some species.
type row struct {
	genera  []string
	species []string // empty: the whole genus
	caution Caution
}

func (r row) covers(n larder.Name) bool {
	// A name of a genus alone may mean the species that the caution is about.
	return slices.Contains(r.genera, n.Genus) &&
		(len(r.species) == 0 || n.Species == "" || slices.Contains(r.species, n.Species))
}

// pyrrolizidine plants hold alkaloids that harm the liver.
func pyrrolizidine() []string {
	return []string{"Symphytum", "Borago", "Tussilago", "Petasites", "Senecio", "Jacobaea", "Heliotropium", "Echium", "Cynoglossum", "Eupatorium", "Pulmonaria", "Lithospermum", "Anchusa", "Alkanna"}
}

// composites are genera of the daisy family, Asteraceae, that makers use.
func composites() []string {
	return []string{"Achillea", "Anthemis", "Arnica", "Artemisia", "Bellis", "Calendula", "Chamaemelum", "Centaurea", "Echinacea", "Grindelia", "Helichrysum", "Inula", "Matricaria", "Silybum", "Solidago", "Tagetes", "Tanacetum", "Taraxacum", "Tussilago", "Petasites", "Eupatorium", "Senecio", "Jacobaea"}
}

func rows() []row {
	return []row{
		{genera: []string{"Symphytum"}, caution: Caution{
			Text:   "Comfrey holds pyrrolizidine alkaloids, the root some 0.3 %, the leaf less. Only adults, only on whole skin, for at most 10 days; not in pregnancy or while breast-feeding.",
			Short:  "Adults only. Whole skin only. Not longer than 10 days. Not in pregnancy or while breast-feeding.",
			Source: "EMA/HMPC/333915/2015 (comfrey root); content: Norwegian risk profile 2012",
		}},
		{genera: []string{"Symphytum"}, caution: Caution{
			Text:   "Older advice for comfrey on the skin: no more than 100 µg of pyrrolizidine alkaloids a day, no more than 4 to 6 weeks in a year, not for children under 2 years.",
			Source: "German Commission E, as summarised by others",
		}},
		{genera: pyrrolizidine(), caution: Caution{
			Text:   "This plant, or some of its kin, holds pyrrolizidine alkaloids, which harm the liver. Nobody should take in more than 0.35 µg a day from herbal medicines. A kitchen cannot measure that: ask before you use it.",
			Short:  "Not for eating.",
			Source: "limit: HMPC public statement EMA/HMPC/893108/2011 Rev. 1 (number from memory); which plants: from memory",
		}},
		{genera: composites(), caution: Caution{
			Text:   "Of the daisy family (Asteraceae): not for people who are allergic to ragweed, chamomile, arnica, marigold or other plants of that family.",
			Short:  "Not if allergic to the daisy family (Asteraceae).",
			Source: "EU herbal monograph Calendula, EMA/HMPC/437450/2017; Health Canada NHPID, Calendula topical, 2021",
		}},
		{genera: []string{"Calendula"}, caution: Caution{
			Text:   "Not on the skin of children under 6 years, nor in the mouth under 12. See a doctor if it becomes worse, or lasts longer than a week.",
			Short:  "Not under 6 years. If worse, or longer than 1 week: see a doctor.",
			Source: "HMPC summary for the public EMA/267467/2018 (Calendula)",
		}},
		{genera: []string{"Arnica"}, caution: Caution{
			Text:   "Arnica is poisonous to eat. Never on broken skin, eyes or lips.",
			Short:  "Whole skin only. Not for eating.",
			Source: "from memory",
		}},
		{genera: []string{"Hypericum"}, caution: Caution{
			Text:   "St John's wort makes skin sensitive to light: keep treated skin out of strong sun and sunbeds.",
			Short:  "Keep treated skin out of strong sun.",
			Source: "from memory, 95 % sure",
		}},
		{genera: []string{"Salvia"}, species: []string{"rosmarinus", "officinalis", "lavandulifolia"}, caution: stimulant("Rosemary and sage hold camphor.")},
		{genera: []string{"Mentha"}, caution: stimulant("Mint holds menthol.")},
		{genera: []string{"Eucalyptus", "Cinnamomum"}, caution: stimulant("This plant holds cineole or camphor.")},
		{genera: []string{"Ruta", "Heracleum", "Angelica", "Ammi", "Citrus", "Ficus"}, caution: Caution{
			Text:   "The sap makes skin burn and blister in the sun. Do not use it on skin that sees daylight; wear gloves to pick it.",
			Short:  "Keep treated skin out of the sun.",
			Source: "from memory",
		}},
		{genera: []string{"Capsicum", "Brassica", "Sinapis", "Allium", "Ranunculus"}, caution: Caution{
			Text:   "It irritates, and can burn the skin if it stays on long. Not near eyes, nor on children's skin.",
			Short:  "May irritate. Keep off eyes and children.",
			Source: "from memory",
		}},
		{genera: poisonous(), caution: Caution{
			Text:   "This plant is poisonous, and its poison may pass through the skin. Do not make an oil of it.",
			Short:  "POISON.",
			Source: "from memory; the list of such plants here is not complete",
			Stop:   true,
		}},
	}
}

func stimulant(first string) Caution {
	return Caution{
		Text:   first + " Not on the face or chest of small children under 3 years: they may stop breathing. Not on hot, weeping or broken skin.",
		Short:  "Not on children under 3 years.",
		Source: "from memory, 90 % sure",
	}
}

// poisonous are plants that a picker may take for something else: foxglove for
// comfrey, hemlock for yarrow or parsley, autumn crocus for wild garlic.
func poisonous() []string {
	return []string{"Aconitum", "Adonis", "Atropa", "Brugmansia", "Cicuta", "Colchicum", "Conium", "Convallaria", "Daphne", "Datura", "Digitalis", "Euphorbia", "Helleborus", "Hyoscyamus", "Laburnum", "Mandragora", "Nerium", "Oenanthe", "Taxus", "Toxicodendron", "Veratrum"}
}

// OfHerbs returns what is to be known of a herb, and whether the tables have
// anything of their own about it. The answer is never empty.
func OfHerbs(n larder.Name) (cautions []Caution, known bool) {
	about := n.Botanical()
	for _, r := range rows() {
		if r.covers(n) {
			c := r.caution
			c.Kind, c.About = OfHerb, about
			cautions = append(cautions, c)
		}
	}
	switch {
	case len(cautions) > 0:
		return cautions, true
	case n.Known:
		return []Caution{{
			Kind: OfHerb, About: about,
			Text:   fmt.Sprintf("No caution of its own is kept here for %s. That is no proof that it suits everybody.", about),
			Source: "no entry",
		}}, true
	case about == "":
		about, n.Written = "a herb without a name", "a herb without a name"
	}
	return []Caution{{
		Kind: OfHerb, About: about,
		Text:   fmt.Sprintf("Nothing is known here about %s: ask a trained herbalist, a pharmacist or a doctor before anybody uses it, and make sure that the plant is what you think it is.", n.Written),
		Short:  "Ask before use.",
		Source: "no entry",
		Stop:   true,
	}}, false
}
