package larder

import "strings"

// Name is a herb's name, taken apart.
type Name struct {
	Written string // as the maker wrote it
	Genus   string // with a capital; "": no name was given
	Species string // "": only the genus was given
	Part    Part
	Known   bool   // in the table of herbs
	Common  string // English name, of a known herb
	INCI    string // genus and species as ingredient lists write them
}

// ParseName takes a herb's name apart: "Plantago lanceolata, leaf", "Calendula
// officinalis L. flowers", "Mentha x piperita", "St John's wort". Synonyms and
// English names lead to the botanical name of the table; a name that is in no
// table is taken as it is written.
func ParseName(s string) Name {
	n := Name{Written: strings.TrimSpace(s)}
	head, tail, _ := strings.Cut(s, ",")
	words := strings.Fields(plainWords(head))
	for _, w := range append(strings.Fields(plainWords(tail)), words[min(1, len(words)):]...) {
		if p, ok := partOf(w); ok {
			n.Part = p
			break
		}
	}
	if h, ok := find(words); ok {
		n.Genus, n.Species, n.Common, n.Known = h.genus, h.species, h.common, true
		n.INCI = h.inci
		if n.INCI == "" {
			n.INCI = titleWords(plainWords(h.genus + " " + h.species))
		}
		return n
	}
	words = botanical(words)
	if len(words) > 0 {
		n.Genus = titleWords(words[0])
	}
	if len(words) > 1 {
		n.Species = words[1]
	}
	n.INCI = titleWords(strings.Join(words[:min(2, len(words))], " "))
	return n
}

// botanical leaves out what is neither genus nor species: hybrid signs, part
// words, "sp." and the initials of authors.
func botanical(words []string) []string {
	var kept []string
	for i, w := range words {
		_, isPart := partOf(w)
		if i > 0 && (isPart || len(w) < 3 || w == "spp" || w == "fresh" || w == "dried") {
			continue
		}
		kept = append(kept, w)
	}
	return kept
}

// Botanical returns genus and species.
func (n Name) Botanical() string { return strings.TrimSpace(n.Genus + " " + n.Species) }

func (n Name) String() string {
	if n.Part == AnyPart {
		return n.Botanical()
	}
	return n.Botanical() + ", " + n.Part.String()
}

// Ingredient returns the entry of an ingredient list for what the herb gave to
// the oil, such as "Calendula Officinalis Flower Extract". It is made by rule
// from the botanical name and the part; check it against the official list
// (in the EU: CosIng) before anything is sold.
func (n Name) Ingredient() string {
	return strings.Join(strings.Fields(n.INCI+" "+partINCI[n.Part%partCount]+" Extract"), " ")
}
