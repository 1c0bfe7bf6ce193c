package tally

import (
	"cmp"
	"slices"
	"time"

	"bainward/rules/alarm"
)

// Periods and limits of the standards (ANSI/ISA-18.2-2016, EEMUA 191; from
// memory).
const (
	shortPeriod = 10 * time.Minute
	floodBegins = 10 // more than so many in ten minutes
	floodEnds   = 5  // fewer than so many in ten minutes
	busyHour    = 30 // more than so many in an hour
	chatters    = 3  // so many of one alarm in chatterIn
	chatterIn   = time.Minute
	fleetingIn  = time.Minute
	staleAfter  = 24 * time.Hour
	topMost     = 10
	// EnoughDays of data are wanted before anything is judged.
	EnoughDays = 30
)

// Figures are what a list of annunciations comes to. Durations and rates are on
// the clock of watching.
type Figures struct {
	Watched, Lit time.Duration
	Days         int // in which anything was watched

	Count      int
	CountLit   int // while a bath was lit
	ByPriority [alarm.Critical + 1]int

	Hours, BusyHours   int // of watching; with more than 30
	Shorts, BusyShorts int // ten-minute periods of watching; with more than 10
	MostInHour         int // in any hour, wherever it begins
	MostInShort        int // in any ten minutes
	Floods             int
	InFlood            time.Duration

	ByTag      []Share // the most frequent first
	Chattering []Share // alarms that called three times within a minute, and how often they did so
	Fleeting   int     // cleared within a minute, and did not come again at once

	Standing  []Annunciation // at the end of what was watched
	Stale     int            // stood for longer than a day
	StaleMost int            // on any one day

	Answered   int
	AnswerP50  time.Duration // of those that were answered
	AnswerP90  time.Duration
	AnswerMax  time.Duration
	Unanswered int // by anybody, ever
	Calling    int // of those, still waiting for somebody
}

// Share is one alarm of one bath with a number of its annunciations.
type Share struct {
	Tag
	Count int
}

// Of reckons the figures of the annunciations that were raised while w was
// watched. Others are taken in only as far as they stand in that time.
func Of(all []Annunciation, w Watch) Figures {
	f := Figures{Watched: total(w.Watched), Lit: total(w.Lit), Days: days(w.Watched)}
	var counted []call
	for _, a := range all {
		if !within(w.Watched, a.Raised) {
			continue
		}
		counted = append(counted, call{Annunciation: a, raised: clock(w.Watched, a.Raised)})
		f.Count++
		f.ByPriority[a.Priority&3]++
		if within(w.Lit, a.Raised) {
			f.CountLit++
		}
	}
	slices.SortStableFunc(counted, func(a, b call) int { return cmp.Compare(a.Raised, b.Raised) })
	f.crowds(counted)
	f.repeats(counted, w)
	f.stands(all, w)
	f.answers(counted, w)
	return f
}

// call is an annunciation on the clock of watching.
type call struct {
	Annunciation
	raised time.Duration
}

// Enough reports whether there is enough data to judge.
func (f *Figures) Enough() bool { return f.Days >= EnoughDays }
