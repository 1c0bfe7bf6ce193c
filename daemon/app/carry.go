package app

import (
	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/fold"
)

// An alarm that is out of service stays so from batch to batch, until a person
// returns it. But after a restart a batch is folded from its own entries alone.
// So the record of every batch says it again: the alarm is returned at the end
// of the old batch and taken out at the start of the new one.

// carriedBy stands for the person in these commands.
const carriedBy = "carried over to the next batch"

// returnAll returns to service what is out of it, and lists it. Nobody is told:
// takeOut follows in the same instant.
func (d *draft) returnAll(b *bath, state *fold.Bath) []rules.ID {
	var out []rules.ID
	for id := range rules.IDCount {
		if state.Alarms.State(id) != alarm.OutOfService {
			continue
		}
		told, ok := d.carry(b, state, alarm.Command{Alarm: id, Action: alarm.ReturnToService})
		if !ok {
			return nil
		}
		d.write(b, state, &told)
		out = append(out, id)
	}
	return out
}

// takeOut takes out of service again what returnAll listed.
func (d *draft) takeOut(b *bath, state *fold.Bath, out []rules.ID) {
	for _, id := range out {
		c := alarm.Command{Alarm: id, Action: alarm.PutOutOfService, Reason: "as before this batch"}
		if told, ok := d.carry(b, state, c); ok {
			d.follow(b, state, &told)
		}
	}
}

func (d *draft) carry(b *bath, state *fold.Bath, c alarm.Command) (fold.Told, bool) {
	next, told, err := state.Do(d.at, c)
	if err != nil {
		d.fail(err)
		return told, false
	}
	*state = next
	d.add(b.name, record.CommandOf(c, carriedBy))
	return told, true
}
