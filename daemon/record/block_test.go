package record

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"bainward/sensors"

	"pgregory.net/rapid"
)

// reading is a reading of north, of which a test changes what it is about.
func reading(seq int64, at time.Duration, wall time.Time, change func(*sensors.Frame)) Entry {
	f := sensors.Frame{At: at, Wall: wall, Pressure: sensors.Pressure{Pascal: 100930}}
	for role := range f.Probes {
		f.Probes[role] = sensors.Failed(sensors.NotFitted)
	}
	change(&f)
	e := OfFrame("north", Rounded(f))
	e.Seq = seq
	return e
}

// The bytes of a block are the format that is hashed: they must stay as they are.
func TestABlockIsWrittenInFixedBytes(t *testing.T) {
	oil := func(celsius float64) func(*sensors.Frame) {
		return func(f *sensors.Frame) { f.Probes[sensors.Oil] = sensors.AtCelsius(celsius) }
	}
	hour := time.Hour + 123*Tick
	for _, c := range []struct {
		what     string
		leaf     int64
		readings []Entry
		want     string
	}{
		{"a fault before the first number and in the middle", 13, []Entry{
			reading(1001, hour, nine.Add(hour), func(f *sensors.Frame) {
				f.Probes[sensors.Oil], f.Probes[sensors.Bath] = sensors.AtCelsius(81.25), sensors.Failed(sensors.Absent)
			}),
			reading(1003, hour+time.Second, nine.Add(hour+time.Second), func(f *sensors.Frame) {
				f.Probes[sensors.Oil], f.Probes[sensors.Bath] = sensors.AtCelsius(81.25), sensors.AtCelsius(99.5)
			}),
			reading(1005, hour+2001*Tick, nine.Add(hour+2001*Tick), func(f *sensors.Frame) {
				f.Probes[sensors.Oil], f.Probes[sensors.Bath] = sensors.AtCelsius(81.1875), sensors.AtCelsius(99.5)
				f.Pressure = sensors.Pressure{Fault: sensors.Absent}
			}),
		}, `{"leaf":13,"readings":"north","seq":[1001,2,2],"at_ms":[3600123,1000,1001],"ahead_ms":[1772355600000,0,0],"step":625,` +
			`"oil":[1300,0,-1],"bath":["absent",1592,0],"room":null,"pressure":[100930,0,"absent"]}`},
		{"a probe fitted within the minute, and a clock that was set back", 0, []Entry{
			reading(1, 0, nine, oil(-10.125)),
			reading(2, time.Second, nine.Add(-time.Hour), func(f *sensors.Frame) {
				f.Probes[sensors.Room] = sensors.AtCelsius(20)
				f.Pressure.Fault = sensors.NotFitted
			}),
		}, `{"leaf":0,"readings":"north","seq":[1,1],"at_ms":[0,1000],"ahead_ms":[1772355600000,-3601000],"step":625,` +
			`"oil":[-162,null],"bath":null,"room":[null,320],"pressure":[100930,null]}`},
		{"nothing but faults", 7, []Entry{reading(9, 1, nine, func(f *sensors.Frame) {
			f.Probes[sensors.Oil], f.Pressure.Fault = sensors.Failed(sensors.BadCRC), sensors.NotFitted
		})}, `{"leaf":7,"readings":"north","seq":[9],"at_ms":[0],"ahead_ms":[1772355600000],"step":625,"oil":["crc"],"bath":null,"room":null,"pressure":null}`},
		{"a probe with coarser steps", 7, []Entry{reading(9, 0, nine, oil(90.5))}, `"step":625,"oil":[1448],`},
		{"a probe that counts in hundredths", 7, []Entry{reading(9, 0, nine, oil(90.51))}, `"step":25,"oil":[36204],`},
		{"a probe that counts in half hundredths", 7, []Entry{reading(9, 0, nine, oil(90.0125))}, `"step":125,"oil":[7201],`},
		{"a probe that counts in ten-thousandths", 7, []Entry{reading(9, 0, nine, oil(90.5101))}, `"step":1,"oil":[905101],`},
		{"a bath whose name wants escaping", 7, []Entry{func() Entry {
			e := reading(9, 0, nine, oil(90))
			e.Bath = `Süd "hinten" <2>`
			return e
		}()}, `"readings":"Süd \"hinten\" \u003c2\u003e",`},
	} {
		line, err := appendBlockLine(nil, c.leaf, c.readings)
		if err != nil || !strings.Contains(string(line), c.want) || c.want[0] == '{' && string(line) != c.want {
			t.Errorf("%s: got\n%s, %v; want\n%s", c.what, line, err, c.want)
		}
		leaf, back, err := readBlockLine(line, nil)
		if err != nil || leaf != c.leaf || !reflect.DeepEqual(back, c.readings) {
			t.Errorf("%s: reads back as leaf %d, %+v, %v", c.what, leaf, back, err)
		}
	}
}

// anyBlock draws readings of one bath at offsets that rise and walls that jump.
func anyBlock() *rapid.Generator[[]Entry] {
	return rapid.Custom(func(t *rapid.T) []Entry {
		bath := rapid.StringN(1, -1, -1).Filter(func(s string) bool { return !strings.ContainsRune(s, 0) }).Draw(t, "bath")
		seq, at := rapid.Int64Range(1, 1<<50).Draw(t, "first"), rapid.Int64Range(0, 1<<50).Draw(t, "offset")
		absent := rapid.SliceOfNDistinct(rapid.IntRange(0, int(sensors.RoleCount)-1), 0, 3, rapid.ID[int]).Draw(t, "not fitted")
		var block []Entry
		for range rapid.IntRange(1, 70).Draw(t, "count") {
			wall := time.UnixMilli(rapid.OneOf(rapid.Just(nine.UnixMilli()+at), rapid.Int64Range(-62e12, 250e12)).Draw(t, "wall")).UTC()
			f := anyFrame(time.Duration(at%(1<<40))*Tick, wall).Draw(t, "frame")
			for _, role := range absent {
				f.Probes[role] = sensors.Failed(sensors.NotFitted)
			}
			e := OfFrame(bath, Rounded(f))
			e.Seq = seq
			block = append(block, e)
			seq += rapid.Int64Range(1, 40).Draw(t, "entries between")
			at += rapid.Int64Range(0, 1200).Draw(t, "later") % (1<<40 - at%(1<<40))
		}
		return block
	})
}

func TestAnyBlockReadsBackAsItWas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		block := anyBlock().Draw(t, "block")
		number := rapid.Int64Range(0, 1<<50).Draw(t, "leaf")
		line, err := appendBlockLine(nil, number, block)
		if err != nil {
			t.Fatal(err)
		}
		leaf, back, err := readBlockLine(line, nil)
		if err != nil || leaf != number || !reflect.DeepEqual(back, block) {
			t.Fatalf("%s\nread back as leaf %d, %v\n%+v\nwas\n%+v", line, leaf, err, back, block)
		}
		again, err := appendBlockLine(nil, leaf, back)
		if err != nil || string(again) != string(line) {
			t.Fatalf("written again: %s, %v", again, err)
		}
	})
}

func TestABlockThatNobodyWroteIsRefused(t *testing.T) {
	good := `{"leaf":7,"readings":"north","seq":[9,2],"at_ms":[5,1000],"ahead_ms":[1772355600000,0],"step":625,"oil":[1448,"crc"],"bath":null,"room":null,"pressure":[100930,null]}`
	if _, _, err := readBlockLine([]byte(good), nil); err != nil {
		t.Fatal(err)
	}
	for _, c := range [][2]string{
		{`"leaf":7`, `"leaf":07`}, {`"leaf":7`, `"leaf":-0`}, {`"leaf":7`, `"leaf": 7`}, {`"leaf":7`, `"leaf":"7"`},
		{`[9,2]`, `[9]`}, {`[9,2]`, `[9,2,2]`}, {`[9,2]`, `[9,0]`}, {`[9,2]`, `[9,-2]`}, {`[9,2]`, `[]`},
		{`[5,1000]`, `[5,-1]`}, {`[5,1000]`, `[5,1000`}, {`[5,1000]`, `[5,1e3]`}, {`[5,1000]`, `[5,9999999999999999999]`},
		{`"step":625`, `"step":0`}, {`"step":625`, `"step":100`},
		{`"crc"`, `"tired"`}, {`"crc"`, `"not-fitted"`}, {`"crc"`, `""`}, {`"crc"`, `"crc`},
		{`[1448,"crc"]`, `[null,null]`}, {`[1448,"crc"]`, `[1448]`}, {`[1448,"crc"]`, `[900000000000000000,"crc"]`},
		{`"north"`, "\"n\xd6rth\""}, {`"north"`, `"n\u0000rth"`}, {`"north"`, `"n\qrth"`},
		{`[100930,null]`, `[2147483648,null]`}, {`}`, ``}, {`}`, `}}`}, {`"oil"`, `"fat"`},
	} {
		bad := strings.Replace(good, c[0], c[1], 1)
		if _, _, err := readBlockLine([]byte(bad), nil); err == nil || !strings.Contains(err.Error(), "block of readings") {
			t.Errorf("%s is taken: %v", bad, err)
		}
	}
	for end := range len(good) {
		if _, _, err := readBlockLine([]byte(good[:end]), nil); err == nil {
			t.Errorf("%s is taken", good[:end])
		}
	}
}

func TestAFaultWithoutAWordIsNotWritten(t *testing.T) {
	bad := reading(1, 0, nine, func(f *sensors.Frame) { f.Probes[sensors.Oil] = sensors.Failed(99) })
	if _, err := appendBlockLine(nil, 0, []Entry{bad}); err == nil || !strings.Contains(err.Error(), "fault 99 has no word") {
		t.Errorf("got %v", err)
	}
}

// FuzzReadBlockLine gives any text to the reader of blocks: it must refuse it or
// write the very same text again.
func FuzzReadBlockLine(f *testing.F) {
	for i := range 3 {
		block := []Entry{reading(int64(i+1), 0, nine, func(f *sensors.Frame) { f.Probes[i] = sensors.AtCelsius(90.5 + math.Pi*float64(i)) })}
		f.Add(string(must(appendBlockLine(nil, int64(i), block))))
	}
	f.Fuzz(func(t *testing.T, text string) {
		leaf, block, err := readBlockLine([]byte(text), nil)
		if err != nil {
			return
		}
		again, err := appendBlockLine(nil, leaf, block)
		if err != nil || string(again) != text && !sameButEscaped(again, text) {
			t.Errorf("%s\nwas written again as\n%s, %v", text, again, err)
		}
	})
}

// sameButEscaped reports whether two lines are of the same length but for how a
// name is escaped or in which step temperatures are counted, in which a stranger
// may differ from appendBlockLine without saying another thing.
func sameButEscaped(again []byte, text string) bool {
	_, one, err1 := readBlockLine(again, nil)
	_, two, err2 := readBlockLine([]byte(text), nil)
	return err1 == nil && err2 == nil && fmt.Sprint(one) == fmt.Sprint(two)
}
