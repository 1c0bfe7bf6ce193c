package app

import (
	"fmt"
	"strings"

	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/notice"
	"bainward/daemon/record"
	"bainward/rules/alarm"
)

// bodyOf returns the entry that keeps a fact of the calls, and its bath.
func bodyOf(f calls.Fact) (bath string, b record.Body) {
	switch f := f.(type) {
	case calls.Opened:
		return f.Bath, record.Call{
			State: record.Opened, ID: f.Call, About: f.What, Priority: f.Priority.String(), Fact: f.Fact, Do: f.Do,
		}
	case calls.Due:
		return f.Bath, record.Notice{
			ID: f.ID, Calls: f.Calls, Contact: f.Contact, Channel: f.Channel, Why: f.Kind.String(), Alarm: f.Alarm,
			Priority: f.Priority.String(), Title: f.Title, Text: f.Text, Quiet: f.Quiet, Sampled: f.Wall,
		}
	case calls.Ended:
		state := record.Over
		if f.How.Answer() {
			state = record.Answered
		}
		bath, _ = aboutOf(f.Call)
		return bath, record.Call{State: state, ID: f.Call, How: f.How.String(), By: f.Who, Via: f.Via}
	case calls.Tried:
		return "", record.AttemptOf(f.Notice, f.Try, f.Result.String(), f.Said, f.Next)
	}
	panic(fmt.Sprintf("app: a fact of the calls without an entry: %T", f))
}

// factOf returns the fact that an entry keeps.
func factOf(e record.Entry, site string) (calls.Fact, error) {
	switch e.Kind {
	case record.KindCall:
		var b record.Call
		if err := e.Decode(&b); err != nil {
			return nil, err
		}
		return callFact(e.Bath, b)
	case record.KindNotice:
		var b record.Notice
		if err := e.Decode(&b); err != nil {
			return nil, err
		}
		return dueFact(e.Bath, b, site)
	case record.KindAttempt:
		var b record.Attempt
		if err := e.Decode(&b); err != nil {
			return nil, err
		}
		result, ok := calls.ParseResult(b.Result)
		if !ok {
			return nil, fmt.Errorf("unknown result %q of an attempt", b.Result)
		}
		return calls.Tried{Notice: b.Notice, Try: b.Try, Result: result, Said: b.Said, Next: b.Next}, nil
	}
	return nil, fmt.Errorf("a %s entry is no fact of the calls", e.Kind)
}

func callFact(bath string, b record.Call) (calls.Fact, error) {
	if b.State == record.Opened {
		p, err := priorityOf(b.Priority)
		return calls.Opened{Call: b.ID, Bath: bath, What: b.About, Priority: p, Fact: b.Fact, Do: b.Do}, err
	}
	how, ok := calls.ParseHow(b.How)
	if !ok {
		return nil, fmt.Errorf("call %s ended in an unknown way %q", b.ID, b.How)
	}
	return calls.Ended{Call: b.ID, How: how, Who: b.By, Via: b.Via}, nil
}

func dueFact(bath string, b record.Notice, site string) (calls.Fact, error) {
	kind, ok := notice.ParseKind(b.Why)
	if !ok {
		return nil, fmt.Errorf("notice %s was sent for an unknown reason %q", b.ID, b.Why)
	}
	p, err := priorityOf(b.Priority)
	d := calls.Due{Calls: b.Calls, Notice: notice.Notice{
		ID: b.ID, Contact: b.Contact, Channel: b.Channel, Kind: kind, Site: site, Bath: bath, Alarm: b.Alarm,
		Priority: p, Title: b.Title, Text: b.Text, Wall: b.Sampled, Quiet: b.Quiet,
	}}
	if len(b.Calls) > 0 {
		d.Call = b.Calls[0]
	}
	return d, err
}

func priorityOf(word string) (alarm.Priority, error) {
	for p := alarm.Low; p <= alarm.Critical; p++ {
		if p.String() == word {
			return p, nil
		}
	}
	return 0, fmt.Errorf("unknown priority %q", word)
}

// aboutOf returns what a call's id says: its bath, empty for the site, and the
// alarm or the matter.
func aboutOf(call string) (bath, what string) {
	bath, what, _ = strings.Cut(strings.TrimSuffix(calls.Subject(call), "/"), "/")
	return bath, what
}
