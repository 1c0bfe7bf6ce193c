package verify

import (
	"encoding/json"
	"errors"

	"bainward/daemon/record"
)

// bodies knows the body of every kind of entry, to see whether one makes sense.
type bodies map[record.Kind]func() record.Body

func newBodies() bodies {
	known := bodies{}
	for _, body := range []func() record.Body{
		func() record.Body { return &record.Event{} },
		func() record.Body { return &record.Finding{} },
		func() record.Body { return &record.Alarm{} },
		func() record.Body { return &record.Command{} },
		func() record.Body { return &record.Phase{} },
		func() record.Body { return &record.Batch{} },
		func() record.Body { return &record.Config{} },
		func() record.Body { return &record.Restart{} },
		func() record.Body { return &record.Clock{} },
		func() record.Body { return &record.Correction{} },
		func() record.Body { return &record.Cutout{} },
		func() record.Body { return &record.Stop{} },
		func() record.Body { return &record.Call{} },
		func() record.Body { return &record.Notice{} },
		func() record.Body { return &record.Attempt{} },
		func() record.Body { return &record.Material{} },
		func() record.Body { return &record.Weighing{} },
		func() record.Body { return &record.Bottles{} },
		func() record.Body { return &record.Moved{} },
		func() record.Body { return &record.Given{} },
		func() record.Body { return &record.Smelled{} },
		func() record.Body { return &record.Deviation{} },
		func() record.Body { return &record.Checklist{} },
		func() record.Body { return &record.Access{} },
		func() record.Body { return &record.Calibration{} },
		func() record.Body { return &record.Boil{} },
		func() record.Body { return &record.Person{} },
		func() record.Body { return &record.Phone{} },
		func() record.Body { return &record.Calibrating{} },
		func() record.Body { return &record.Storage{} },
		func() record.Body { return &record.Recipe{} },
		func() record.Body { return &record.Site{} },
		func() record.Body { return &record.Signature{} },
		func() record.Body { return &record.Witness{} },
		func() record.Body { return &record.Cosignature{} },
	} {
		known[body().Kind()] = body
	}
	// What was signed is taken apart by signing.go and what was thinned out by
	// thinned.go, not by the writer's code.
	known[record.KindKey], known[record.KindCheckpoint], known["thinned"] = nil, nil, nil
	return known
}

var errBody = errors.New("its body is no JSON object")

// check reports why the body of an entry makes no sense. Of a kind that it does
// not know it asks only that it is a JSON object: a record may gain kinds.
func (b bodies) check(e *entryRow) error {
	kind := record.Kind(e.kind)
	if kind == record.KindReading {
		return errors.New("a reading stands among the entries")
	}
	body := b[kind]
	if body == nil {
		if len(e.body) == 0 || e.body[0] != '{' || !json.Valid(e.body) {
			return errBody
		}
		return nil
	}
	return record.Entry{Seq: e.seq, Kind: kind, Body: e.body}.Decode(body())
}
