package verify

// draftPack is what a scribe will pack together.
type draftPack struct {
	id     int64
	text   []byte
	leaves []int64
	ends   []int
}

// toPack puts the line of the next leaf with those that it will be packed with,
// and returns where it is.
func (s *scribe) toPack(bath string, line []byte) (pack, at int64) {
	p := s.packs[bath]
	if p == nil {
		p = &draftPack{id: s.leaves}
		s.packs[bath] = p
	}
	at = int64(len(p.text))
	p.text = append(p.text, line...)
	p.leaves, p.ends = append(p.leaves, s.leaves), append(p.ends, len(p.text))
	if len(p.leaves) == s.lines {
		s.insert("pack", p.id, len(p.text), s.zip(p.text))
		delete(s.packs, bath)
	}
	return p.id, at
}

// keepLoose writes the lines that are in no pack.
func (s *scribe) keepLoose() {
	for _, p := range s.packs {
		start := 0
		for i, leaf := range p.leaves {
			s.insert("loose", leaf, s.zip(p.text[start:p.ends[i]]))
			start = p.ends[i]
		}
	}
}

func (s *scribe) zip(text []byte) []byte {
	s.packed.Reset()
	s.pack.Reset(&s.packed)
	must(s.pack.Write(text))
	if err := s.pack.Close(); err != nil {
		s.t.Fatal(err)
	}
	return s.packed.Bytes()
}
