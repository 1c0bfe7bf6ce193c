package paper

import "fmt"

// title writes the head of the first page: product left, number right, or below
// each other if one of them is long.
func (f *flow) title() {
	s := f.sheet
	numberWidth := f.width() * 0.34
	product := f.lines(orNot(s.Product), f.width()-numberWidth-gutter, titleStyle)
	number := f.lines(orNot(s.Number), numberWidth, numberStyle)
	if most := 3; len(product) <= most && len(number) <= most {
		f.titleBeside(product, number)
	} else {
		f.run(f.facts(f.width(), 24, []fact{{"Batch sheet", strong(orNot(s.Product))}, {"Batch number", strong(orNot(s.Number))}}))
	}
	f.y++
	f.run(f.text(s.whenAndWhere(), f.width(), bodyStyle))
	if f.pages > usualPages {
		f.run(f.text(fmt.Sprintf("This sheet has %d pages, more than usual. Keep all of them together: none is complete alone.", f.pages), f.width(), alarmStyle))
	}
	f.y++
	f.verdict()
}

// whenAndWhere says when and where a batch was made as far as somebody entered it.
func (s *BatchSheet) whenAndWhere() string {
	said := "Made on " + day(s.Made)
	if s.Site != "" {
		said += " at " + s.Site
	}
	if s.Bath != "" {
		said += ", bath " + s.Bath
	}
	return said + ". " + s.zoneWords()
}

// titleBeside writes each name right before its value, for those who have the sheet
// read to them.
func (f *flow) titleBeside(product, number []textLine) {
	right, top := f.size.Width-marginRight, f.y+nameStyle.height()
	f.word("Batch sheet", marginLeft, f.y, nameStyle)
	for i, l := range product {
		f.line(l, marginLeft, top+float64(float64(i)*titleStyle.height()), titleStyle)
	}
	f.wordEnding("Batch number", right, f.y, nameStyle)
	for i, l := range number {
		f.line(l, right-l.width, top+float64(float64(i)*numberStyle.height()), numberStyle)
	}
	f.y = top + max(float64(float64(len(product))*titleStyle.height()), float64(float64(len(number))*numberStyle.height()))
}

// verdict is the line that an eye looks for first.
func (f *flow) verdict() {
	s := f.sheet
	said := []string{
		"Verdict: " + orNot(s.Verdict), "Hottest oil: " + temperature(s.Units, s.OilMaxC),
		fmt.Sprintf("Alarms: %d", len(s.Alarms)), fmt.Sprintf("Deviations: %d", len(s.Deviations)),
	}
	if len(f.lines(said[0], f.half(), verdictStyle)) > 1 { // a word of its own, longer than ours
		f.run(f.text(said[0], f.width(), verdictStyle))
		said = said[1:]
	}
	const high, apart, inside = 7.0, 8.0, 2.0
	f.run([]row{{high, func(x, y float64) {
		f.box(x, y, f.width(), high, tint)
		x, y = x+inside, y+(high-verdictStyle.height())/2
		for _, words := range said {
			x += f.word(words, x, y, verdictStyle) + apart
		}
	}}})
	f.y += afterPart + 1
}
