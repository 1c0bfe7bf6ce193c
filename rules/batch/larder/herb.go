package larder

import "strings"

// herb is a row of the table of names.
type herb struct {
	genus, species, common string
	inci                   string   // where it differs from the botanical name
	also                   []string // synonyms and English names, in plain words
}

// herbs is the table of names: plain botany.
func herbs() []herb {
	return []herb{
		{"Achillea", "millefolium", "yarrow", "", nil},
		{"Althaea", "officinalis", "marshmallow", "", []string{"marsh mallow"}},
		{"Arnica", "montana", "arnica", "", nil},
		{"Bellis", "perennis", "daisy", "", nil},
		{"Calendula", "officinalis", "calendula", "", []string{"pot marigold", "marigold"}},
		{"Galium", "aparine", "cleavers", "", nil},
		{"Hypericum", "perforatum", "St John's wort", "", []string{"saint johns wort"}},
		{"Lavandula", "angustifolia", "lavender", "", []string{"lavandula officinalis", "lavandula vera"}},
		{"Matricaria", "chamomilla", "chamomile", "Chamomilla Recutita", []string{"matricaria recutita", "chamomilla recutita", "camomile"}},
		{"Melissa", "officinalis", "lemon balm", "", nil},
		{"Mentha", "piperita", "peppermint", "", []string{"mentha x piperita"}},
		{"Mentha", "spicata", "spearmint", "Mentha Viridis", nil},
		{"Ocimum", "basilicum", "basil", "", nil},
		{"Petroselinum", "crispum", "parsley", "Carum Petroselinum", nil},
		{"Plantago", "lanceolata", "ribwort plantain", "", []string{"ribwort", "narrowleaf plantain"}},
		{"Plantago", "major", "greater plantain", "", []string{"broadleaf plantain"}},
		{"Rosa", "centifolia", "cabbage rose", "", nil},
		{"Rosa", "damascena", "damask rose", "", nil},
		{"Salvia", "officinalis", "sage", "", nil},
		{"Salvia", "rosmarinus", "rosemary", "Rosmarinus Officinalis", []string{"rosmarinus officinalis"}},
		{"Sambucus", "nigra", "elder", "", []string{"elderflower"}},
		{"Stellaria", "media", "chickweed", "", nil},
		{"Symphytum", "officinale", "comfrey", "", nil},
		{"Taraxacum", "officinale", "dandelion", "", nil},
		{"Thymus", "vulgaris", "thyme", "", nil},
		{"Urtica", "dioica", "stinging nettle", "", []string{"nettle"}},
		{"Verbascum", "thapsus", "great mullein", "", []string{"mullein"}},
		{"Viola", "tricolor", "heartsease", "", nil},
	}
}

// find looks words up: the longest name with which they begin counts, and an
// English name may be followed by "s".
func find(words []string) (herb, bool) {
	text := strings.Join(words, " ") + " "
	var best herb
	longest := 0
	for _, h := range herbs() {
		names := append([]string{plainWords(h.genus + " " + h.species), plainWords(h.common)}, h.also...)
		for _, name := range names {
			if len(name) > longest && (strings.HasPrefix(text, name+" ") || strings.HasPrefix(text, name+"s ")) {
				best, longest = h, len(name)
			}
		}
	}
	return best, longest > 0
}
