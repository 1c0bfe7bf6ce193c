package verify

import (
	"encoding/json"
	"errors"
	"fmt"
	"unicode/utf8"

	"bainward/sensors"
)

// scanner goes through the line of a block. It stops at its first error. It is
// written by hand because nine tenths of a record pass through it.
type scanner struct {
	text []byte
	at   int
	err  error
}

func (s *scanner) fail(err error) {
	if s.err == nil {
		s.err = err
	}
}

// peek returns the next byte, 0 at the end.
func (s *scanner) peek() byte {
	if s.at < len(s.text) {
		return s.text[s.at]
	}
	return 0
}

// want takes exactly this.
func (s *scanner) want(text string) {
	if s.err != nil {
		return
	}
	if end := s.at + len(text); end > len(s.text) || string(s.text[s.at:end]) != text {
		s.fail(fmt.Errorf("want %s", text))
		return
	}
	s.at += len(text)
}

var errNumber = errors.New("want a whole number")

// number takes an integer.
func (s *scanner) number() int64 {
	if s.err != nil {
		return 0
	}
	negative := s.peek() == '-'
	if negative {
		s.at++
	}
	begin, n := s.at, int64(0)
	for s.at < len(s.text) {
		digit := s.text[s.at] - '0'
		if digit > 9 {
			break
		}
		n = 10*n + int64(digit)
		if n > maxNumber {
			s.fail(errors.New("a number is too large"))
			return 0
		}
		s.at++
	}
	switch digits := s.at - begin; {
	case digits == 0, digits > 1 && s.text[begin] == '0', negative && n == 0:
		s.fail(errNumber)
	case negative:
		return -n
	}
	return n
}

// quoted takes a string in double quotes and returns what it means.
func (s *scanner) quoted() []byte {
	if s.err != nil {
		return nil
	}
	begin := s.at
	s.want(`"`)
	for plain := true; s.at < len(s.text); s.at++ {
		switch s.text[s.at] {
		case '\\':
			plain = false
			s.at++
		case '"':
			s.at++
			if !utf8.Valid(s.text[begin:s.at]) {
				s.fail(errors.New("a string is not in UTF-8"))
				return nil
			}
			if plain {
				return s.text[begin+1 : s.at-1]
			}
			var meant string
			if err := json.Unmarshal(s.text[begin:s.at], &meant); err != nil {
				s.fail(err)
			}
			return []byte(meant)
		}
	}
	s.fail(errors.New("a string does not end"))
	return nil
}

// more begins or goes on with a list; it returns false at its end.
func (s *scanner) more(first bool) bool {
	if s.err != nil {
		return false
	}
	if first {
		s.want("[")
		return s.err == nil
	}
	c := s.peek()
	s.at++
	if c != ',' && c != ']' {
		s.fail(errors.New("want , or ]"))
	}
	return c == ','
}

// differences takes a list whose first value stands for itself and the others for
// the step from the one before.
func (s *scanner) differences(list []int64) []int64 {
	var sum int64
	for more := s.more(true); more; more = s.more(false) {
		sum += s.number()
		list = append(list, sum)
	}
	return list
}

// values takes a list of numbers, words and nulls, or null for n times null.
func (s *scanner) values(list []value, n int, faults map[string]sensors.Fault) []value {
	if s.peek() == 'n' {
		s.want("null")
		for range n {
			list = append(list, value{fault: sensors.NotFitted})
		}
		return list
	}
	var last int64
	for more := s.more(true); more; more = s.more(false) {
		switch s.peek() {
		case 'n':
			s.want("null")
			list = append(list, value{fault: sensors.NotFitted})
		case '"':
			word := s.quoted()
			fault, ok := faults[string(word)]
			if !ok {
				s.fail(fmt.Errorf("%q is no fault", word))
			}
			list = append(list, value{fault: fault})
		default:
			last += s.number()
			list = append(list, value{n: last})
		}
	}
	return list
}
