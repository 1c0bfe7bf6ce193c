package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"bainward/sensors"

	"periph.io/x/conn/v3/physic"
)

// readBlockLine undoes appendBlockLine: it appends the readings to into, which
// may be a slice to use again. It takes nothing but what appendBlockLine writes,
// and is written by hand because every page and every figure goes through it.
func readBlockLine(line []byte, into []Entry) (leaf int64, readings []Entry, err error) {
	p := lineParser{line: line}
	p.want(`{"leaf":`)
	leaf = p.number()
	p.want(`,"readings":`)
	bath := p.text()
	start := len(into)
	p.differences("seq", func(_ int, v int64) { into = append(into, Entry{Seq: v, Bath: bath, Kind: KindReading}) })
	block := into[start:]
	p.differencesOf(block, "at_ms", func(e *Entry, v int64) { e.At = time.Duration(v) * Tick })
	p.differencesOf(block, "ahead_ms", func(e *Entry, v int64) {
		e.Wall = time.UnixMilli(e.At.Milliseconds() + v).UTC()
		e.Frame.At, e.Frame.Wall = e.At, e.Wall
	})
	p.want(`,"step":`)
	step := p.number()
	if units := blockSteps(); !slices.Contains(units[:], step) {
		p.fail("a step of 625, 125, 25, 5 or 1")
	}
	for role, name := range temperatureLists() {
		p.values(name, len(block), maxSteps/max(step, 1), func(i int, v int64, fault sensors.Fault) {
			if fault != sensors.NoFault {
				block[i].Frame.Probes[role] = sensors.Failed(fault)
				return
			}
			block[i].Frame.Probes[role] = sensors.Reading{Temperature: physic.ZeroCelsius + physic.Temperature(v*step)*sensors.Grid}
		})
	}
	p.values("pressure", len(block), 1<<31, func(i int, v int64, fault sensors.Fault) {
		block[i].Frame.Pressure = sensors.Pressure{Pascal: int32(v), Fault: fault}
		if int64(int32(v)) != v {
			p.fail("a pressure within bounds")
		}
	})
	p.want("}")
	if p.err == nil && p.at != len(p.line) {
		p.fail("its end")
	}
	if p.err == nil {
		p.err = inOrder(block)
	}
	return leaf, into, p.err
}

func inOrder(readings []Entry) error {
	for i := 1; i < len(readings); i++ {
		if e, before := &readings[i], &readings[i-1]; e.Seq <= before.Seq || e.At < before.At {
			return fmt.Errorf("block of readings: entry %d at %v follows entry %d at %v", e.Seq, e.At, before.Seq, before.At)
		}
	}
	return nil
}

// lineParser goes through a block's line. After the first fault it does nothing.
type lineParser struct {
	line []byte
	at   int
	err  error
	// The last fault that was read, for its word mostly comes again.
	word  string
	fault sensors.Fault
}

func (p *lineParser) fail(want string) {
	if p.err == nil {
		p.err = fmt.Errorf("block of readings, byte %d: want %s", p.at, want)
		p.at = len(p.line)
	}
}

func (p *lineParser) want(text string) {
	if !p.take(text) {
		p.fail(text)
	}
}

// take goes over text if it comes next.
func (p *lineParser) take(text string) bool {
	if end := p.at + len(text); end <= len(p.line) && string(p.line[p.at:end]) == text {
		p.at = end
		return true
	}
	return false
}

func (p *lineParser) next() byte {
	if p.at < len(p.line) {
		return p.line[p.at]
	}
	return 0
}

// number reads a whole number of at most 18 digits, without a leading zero: two
// of them can be added.
func (p *lineParser) number() int64 {
	negative := p.take("-")
	start, n := p.at, int64(0)
	for c := p.next(); c >= '0' && c <= '9' && p.at-start <= 18; c = p.next() {
		n = 10*n + int64(c-'0')
		p.at++
	}
	if digits := p.at - start; digits == 0 || digits > 18 || p.line[start] == '0' && (digits > 1 || negative) {
		p.fail("a number")
		return 0
	}
	if negative {
		return -n
	}
	return n
}

func (p *lineParser) text() string {
	start := p.at
	p.want(`"`)
	for c := p.next(); c != '"'; c = p.next() {
		if c == 0 {
			p.fail("the end of a text")
			return ""
		}
		if c == '\\' {
			p.at++
		}
		p.at++
	}
	p.at++
	quoted := p.line[start:p.at]
	// A byte that is no UTF-8 would silently be read as U+FFFD: another text.
	if !utf8.Valid(quoted) {
		p.fail("a text in UTF-8")
		return ""
	}
	if bytes.IndexByte(quoted, '\\') < 0 {
		return string(quoted[1 : len(quoted)-1])
	}
	var text string
	if err := json.Unmarshal(quoted, &text); err != nil {
		p.fail("a text")
	}
	if strings.ContainsRune(text, 0) {
		p.fail("a text without U+0000")
	}
	return text
}

// differences reads a list of differences and tells each sum.
func (p *lineParser) differences(name string, each func(i int, v int64)) (n int) {
	p.name(name)
	p.want("[")
	for v := int64(0); p.err == nil; n++ {
		v += p.number()
		if v < -1e18 || v > 1e18 {
			p.fail("a number within bounds")
			break
		}
		each(n, v)
		if p.take("]") {
			return n + 1
		}
		p.want(",")
	}
	return n
}

// differencesOf reads a list of differences that has one for every reading.
func (p *lineParser) differencesOf(block []Entry, name string, each func(e *Entry, v int64)) {
	n := p.differences(name, func(i int, v int64) {
		if i < len(block) {
			each(&block[i], v)
		}
	})
	if n != len(block) {
		p.fail(fmt.Sprintf("%d numbers in %q", len(block), name))
	}
}

func (p *lineParser) name(name string) {
	p.want(`,"`)
	p.want(name)
	p.want(`":`)
}

// values reads the list of one probe: numbers up to limit either way, faults,
// and null.
func (p *lineParser) values(name string, n int, limit int64, each func(i int, v int64, fault sensors.Fault)) {
	p.name(name)
	if p.take("null") {
		for i := range n {
			each(i, 0, sensors.NotFitted)
		}
		return
	}
	v, fitted := int64(0), false
	for i := 0; p.err == nil && i < n; i++ {
		p.want(string(separator(i)))
		switch p.next() {
		case 'n':
			p.want("null")
			each(i, 0, sensors.NotFitted)
			continue
		case '"':
			each(i, 0, p.faultWord())
		default:
			if v += p.number(); v < -limit || v > limit {
				p.fail("a value within bounds")
			}
			each(i, v, sensors.NoFault)
		}
		fitted = true
	}
	p.want("]")
	if !fitted {
		p.fail("null for a list in which nothing is fitted")
	}
}

func (p *lineParser) faultWord() sensors.Fault {
	word := p.text()
	if word == p.word && word != "" {
		return p.fault
	}
	fault, ok := parseFault(word)
	if !ok || fault == sensors.NoFault || fault == sensors.NotFitted {
		p.fail("a fault")
	}
	p.word, p.fault = word, fault
	return fault
}
