package verify

import (
	"slices"
	"strings"
	"testing"

	"bainward/sensors"
)

const blockLine = `{"leaf":13,"readings":"north","seq":[1001,2,2],"at_ms":[3600123,1000,1001],"ahead_ms":[1772351999999,0,-5],` +
	`"step":625,"oil":[1300,0,-1],"bath":["absent",1592,null],"room":null,"pressure":[100930,0,"absent"]}`

// The line of the format's description means what it says there.
func TestTheLineOfABlockIsRead(t *testing.T) {
	var b block
	if err := b.read([]byte(blockLine), faultWords()); err != nil {
		t.Fatal(err)
	}
	if b.leaf != 13 || string(b.bath) != "north" || b.step != 625 ||
		!slices.Equal(b.seq, []int64{1001, 1003, 1005}) || !slices.Equal(b.at, []int64{3600123, 3601123, 3602124}) ||
		!slices.Equal(b.ahead, []int64{1772351999999, 1772351999999, 1772351999994}) {
		t.Errorf("got %+v", b)
	}
	absent, none := sensors.Failed(sensors.Absent), sensors.Failed(sensors.NotFitted)
	for i, want := range [][sensors.RoleCount]sensors.Reading{
		{sensors.AtCelsius(81.25), absent, none},
		{sensors.AtCelsius(81.25), sensors.AtCelsius(99.5), none},
		{sensors.AtCelsius(81.1875), none, none},
	} {
		var f sensors.Frame
		if b.frame(i, &f); f.Probes != want {
			t.Errorf("reading %d: %v, want %v", i, f.Probes, want)
		}
	}
	var f sensors.Frame
	if b.frame(2, &f); f.Pressure != (sensors.Pressure{Fault: sensors.Absent}) {
		t.Errorf("the last pressure is %v", f.Pressure)
	}
}

// A line that is nearly one is refused, with the place.
func TestALineThatIsNearlyABlockIsRefused(t *testing.T) {
	for _, change := range []struct{ from, to string }{
		{`{"leaf"`, ` {"leaf"`}, {`13,`, `013,`}, {`13,`, `-0,`}, {`13,`, `1e1,`}, {`13,`, `9999999999999999,`}, {`"north"`, `"north`}, {`"north"`, `null`}, {`"north"`, "\"n\xd6rth\""},
		{`[1001,2,2]`, `[1001,2]`}, {`[1001,2,2]`, `[]`}, {`[1001,2,2]`, `[1001,2,2,]`}, {`[1001,2,2]`, `[1001, 2,2]`}, {`"step":625`, `"step":624`},
		{`"absent",1592`, `"lost",1592`}, {`"absent",1592`, `"",1592`}, {`"absent",1592`, `"not-fitted",1592`}, {`null,"pressure"`, `nil,"pressure"`}, {`[1300`, `[13000000`}, {`[100930`, `[99999999999`},
		{`"oil":[1300,0,-1]`, `"oil":[1300,0]`}, {`"absent"]}`, `"absent"]} `}, {`"absent"]}`, `"absent"]`}, {`"oil"`, `"Oil"`},
	} {
		changed := strings.Replace(blockLine, change.from, change.to, 1)
		var b block
		if err := b.read([]byte(changed), faultWords()); err == nil || changed == blockLine {
			t.Errorf("%s for %s: it was read as %+v", change.to, change.from, b)
		}
	}
}

// Whatever the bytes, reading them ends, without a panic.
func FuzzBlock(f *testing.F) {
	f.Add([]byte(blockLine))
	f.Add([]byte(strings.Replace(blockLine, "north", `n\u003c\"`, 1)))
	faults := faultWords()
	f.Fuzz(func(t *testing.T, line []byte) {
		var b block
		if b.read(line, faults) != nil {
			return
		}
		for i := range b.seq {
			var frame sensors.Frame
			b.frame(i, &frame)
		}
	})
}
