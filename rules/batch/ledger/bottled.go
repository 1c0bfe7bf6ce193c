package ledger

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bainward/rules/batch/shelf"
)

// Place is where a bottle stands.
type Place string

// The places. Each is one of shelf.Storage, in the word of the record.
const (
	Room   Place = "room"
	Cool   Place = "cool"
	Fridge Place = "fridge"
)

// Storage returns the place as shelf reckons with it; ok is false for a word that
// is no place.
func (p Place) Storage() (s shelf.Storage, ok bool) {
	switch p {
	case Room:
		return shelf.Room, true
	case Cool:
		return shelf.Cool, true
	case Fridge:
		return shelf.Fridge, true
	}
	return 0, false
}

func (p Place) check() error {
	if _, ok := p.Storage(); !ok {
		return fmt.Errorf("place %q: want %s, %s or %s", p, Room, Cool, Fridge)
	}
	return nil
}

// Seen tells whether somebody saw water in the oil.
type Seen string

// What was seen of the water; empty: nobody looked.
const (
	NoWater Seen = "none" // clear and bright, nothing at the bottom
	WaterIn Seen = "some" // cloudy, or drops at the bottom
)

// Bottles are bottles that were filled from a batch, all alike.
type Bottles struct {
	Batch   string  `json:"batch"`
	Numbers []int   `json:"bottles"` // in the batch, from 1
	Each    Amount  `json:"each"`    // oil in one of them
	AtC     float64 `json:"at_c,omitzero"`
	Place   Place   `json:"place"`
	UseBy   Day     `json:"use_by,omitzero"` // as the maker set it; it can only shorten the reckoned one
	Label   bool    `json:"label,omitzero"`  // a label was printed
	Water   Seen    `json:"water,omitzero"`
	// Count asks for so many bottles with the next free numbers, in place of
	// Numbers: see Ledger.Complete. It is never recorded.
	Count int `json:"-"`
}

// Moved is bottles being put elsewhere.
type Moved struct {
	Batch   string `json:"batch"`
	Numbers []int  `json:"bottles"`
	Place   Place  `json:"place"`
}

// Given is oil leaving a bottle, or a product leaving the house.
type Given struct {
	Batch    string `json:"batch"`              // of the bottle; the product's number if there is no bottle
	Bottle   int    `json:"bottle,omitzero"`    // its number in the batch
	Quantity Amount `json:"quantity,omitzero"`  // how much; a product may leave it out
	All      bool   `json:"all,omitzero"`       // whatever is left
	To       string `json:"reference,omitzero"` // who has it, as the maker's own books call them
	Product  string `json:"product,omitzero"`   // number of what was made from it
	Name     string `json:"name,omitzero"`      // of the product
	Thrown   bool   `json:"thrown,omitzero"`    // thrown away
	// Despite says why it was handed out though it was rancid or past its date.
	Despite string `json:"despite,omitzero"`
}

// Smell is what a nose said.
type Smell string

// The smells.
const (
	Fine   Smell = "fine"
	Rancid Smell = "rancid"
)

// Smelled is somebody having smelled at bottles.
type Smelled struct {
	Batch   string `json:"batch"`
	Numbers []int  `json:"bottles"`
	Smell   Smell  `json:"smell"`
}

func (f Bottles) of() string { return f.Batch }
func (f Moved) of() string   { return f.Batch }
func (f Given) of() string   { return f.Batch }
func (f Smelled) of() string { return f.Batch }

// maxBottles is more than one batch fills.
const maxBottles = 10_000

func numbered(all []int) error {
	if len(all) == 0 {
		return errors.New("no bottle is named")
	}
	for i, n := range all {
		if n < 1 || n > maxBottles {
			return fmt.Errorf("bottle %d: they are numbered from 1 to %d", n, maxBottles)
		}
		if slices.Contains(all[:i], n) {
			return fmt.Errorf("bottle %d is named twice", n)
		}
	}
	return nil
}

// Check implements Fact.
func (f Bottles) Check() error {
	if err := errors.Join(named(f.Batch), numbered(f.Numbers), f.Place.check(), measuredAt(f.AtC)); err != nil {
		return err
	}
	switch {
	case f.Each.IsZero():
		return errors.New("how much is in each bottle? Give it under each, such as 100 ml")
	case f.Each.isVolume() && f.AtC == 0:
		return fmt.Errorf("%s a bottle: a volume needs the temperature of the oil (at_c)", f.Each)
	case f.Water != "" && f.Water != NoWater && f.Water != WaterIn:
		return fmt.Errorf("water %q: want %s or %s, or nothing if nobody looked", f.Water, NoWater, WaterIn)
	}
	return nil
}

// Check implements Fact.
func (f Moved) Check() error {
	return errors.Join(named(f.Batch), numbered(f.Numbers), f.Place.check())
}

// Check implements Fact.
func (f Given) Check() error {
	err := errors.Join(named(f.Batch), line("reference", f.To), line("product", f.Product), line("name", f.Name), line("despite", f.Despite))
	switch {
	case err != nil:
		return err
	case f.Bottle < 0 || f.Bottle > maxBottles:
		return fmt.Errorf("bottle %d: they are numbered from 1 to %d", f.Bottle, maxBottles)
	case f.To == "" && f.Product == "" && !f.Thrown:
		return errors.New("where did it go? Give a reference, the number of the product made from it, or say that it was thrown away")
	case f.Thrown && (f.Product != "" || f.To != ""):
		return errors.New("what was thrown away went to nobody and into nothing")
	case f.Name != "" && f.Product == "":
		return fmt.Errorf("product %q needs a number of its own", f.Name)
	case f.Bottle > 0 && f.All != f.Quantity.IsZero():
		return errors.New("how much was it? Give a quantity, such as 30 ml, or all")
	}
	return nil
}

// Check implements Fact.
func (f Smelled) Check() error {
	if f.Smell != Fine && f.Smell != Rancid {
		return fmt.Errorf("smell %q: want %s or %s", f.Smell, Fine, Rancid)
	}
	return errors.Join(named(f.Batch), numbered(f.Numbers))
}

// BottleID names a bottle for people: the batch, a stroke, and its number.
func BottleID(batch string, number int) string { return batch + "/" + strconv.Itoa(number) }

// ParseBottle takes a bottle's name apart.
func ParseBottle(id string) (batch string, number int, ok bool) {
	i := strings.LastIndexByte(id, '/')
	if i <= 0 {
		return "", 0, false
	}
	number, err := strconv.Atoi(id[i+1:])
	return id[:i], number, err == nil && number > 0 && BottleID(id[:i], number) == id
}
