package ledger

import (
	"fmt"
	"slices"
	"strings"
)

func (f Opened) String() string { return "batch " + f.Batch + " opened" }

func (f Closed) String() string { return "batch " + f.Batch + " closed: " + f.Verdict }

func (f Material) String() string {
	s := fmt.Sprintf("%s: %s%s of %s, lot %s", f.What, f.Quantity, at(f.Quantity, f.AtC), f.Name, f.Lot)
	if f.State != "" {
		s += ", " + string(f.State)
	}
	if !f.BestBefore.IsZero() {
		s += ", best before " + f.BestBefore.String()
	}
	return s + passWords(f.Pass)
}

func (f Weighing) String() string {
	return fmt.Sprintf("weighed: %s %s", weighedWords(f.What), f.Quantity) + passWords(f.Pass)
}

func weighedWords(w Weighed) string {
	switch w {
	case OilIn:
		return "oil in"
	case OilOut:
		return "oil out"
	case Water:
		return "water layer"
	}
	return string(w)
}

func (f Bottles) String() string {
	s := fmt.Sprintf("filled %s: %s%s each, %s", bottleList(f.Numbers), f.Each, at(f.Each, f.AtC), placeWords(f.Place))
	if f.Label {
		s += ", labelled"
	}
	if f.Water == WaterIn {
		s += ", water seen in it"
	}
	return s
}

func (f Moved) String() string {
	return fmt.Sprintf("%s moved: %s", bottleList(f.Numbers), placeWords(f.Place))
}

func (f Given) String() string {
	much := f.Quantity.String()
	if f.All || much == "" {
		much = "all"
	}
	if f.Bottle == 0 && f.Quantity.IsZero() && !f.All {
		much = "some"
	}
	from := "product " + f.Batch
	if f.Bottle > 0 {
		from = bottleList([]int{f.Bottle})
	}
	s := much + " of " + from
	switch {
	case f.Thrown:
		s += " thrown away"
	case f.Product != "":
		s += " into " + strings.TrimSpace(f.Name+" "+f.Product)
	default:
		s += " given"
	}
	if f.To != "" {
		s += ", reference " + f.To
	}
	if f.Despite != "" {
		s += "; though it should not: " + f.Despite
	}
	return s
}

func (f Smelled) String() string {
	return fmt.Sprintf("smelled at %s: %s", bottleList(f.Numbers), f.Smell)
}

func (f Deviation) String() string {
	s := "deviation: " + f.Text
	if f.Explanation != "" {
		s += "; " + f.Explanation
	}
	return s
}

func at(a Amount, celsius float64) string {
	if !a.isVolume() || celsius == 0 {
		return ""
	}
	return fmt.Sprintf(" (at %g °C)", celsius)
}

func passWords(n int) string {
	if n < 2 {
		return ""
	}
	return fmt.Sprintf(", maceration %d", n)
}

func placeWords(p Place) string {
	s, ok := p.Storage()
	if !ok {
		return string(p)
	}
	return s.String()
}

// bottleList says numbers as people count: "bottle 3", "bottles 1 to 6 and 9".
func bottleList(numbers []int) string {
	all := slices.Sorted(slices.Values(numbers))
	var runs []string
	for i := 0; i < len(all); {
		j := i
		for j+1 < len(all) && all[j+1] == all[j]+1 {
			j++
		}
		switch {
		case j == i:
			runs = append(runs, fmt.Sprint(all[i]))
		case j == i+1:
			runs = append(runs, fmt.Sprint(all[i]), fmt.Sprint(all[j]))
		default:
			runs = append(runs, fmt.Sprintf("%d to %d", all[i], all[j]))
		}
		i = j + 1
	}
	word := "bottles "
	if len(all) == 1 {
		word = "bottle "
	}
	if last := len(runs) - 1; last > 0 {
		return word + strings.Join(runs[:last], ", ") + " and " + runs[last]
	}
	return word + strings.Join(runs, "")
}
