package app

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bainward/daemon/phone/notice"
	"bainward/daemon/record"
	"bainward/daemon/witness"
)

// board is a Publisher that keeps what would be held at a broker.
type board struct {
	crier
	checkpoint []byte
	cosigned   map[string][]byte // by whose checkpoint it is
}

func (p *board) Checkpoint(document []byte) { p.checkpoint = document }

func (p *board) Cosign(site string, document []byte) {
	if p.cosigned == nil {
		p.cosigned = map[string][]byte{}
	}
	p.cosigned[site] = document
}

// neighbours are two daemons of two sites at one broker.
func neighbours(t *testing.T) (yard, meadow *kitchen, atYard, atMeadow *board) {
	t.Helper()
	atYard, atMeadow = &board{}, &board{}
	yard = newKitchenWith(t, func(o *Options) { o.Publisher = atYard })
	meadow = newKitchenWith(t, func(o *Options) { o.Publisher = atMeadow })
	return yard, meadow, atYard, atMeadow
}

// end gives up the batch in hand and waits until it is closed.
func end(k *kitchen) {
	k.t.Helper()
	k.did("abandon")
	k.poll(time.Second)
	k.poll(closeAfter)
	k.poll(time.Second)
}

// newestOf returns the last entry of a kind.
func newestOf[B record.Body](t *testing.T, k *kitchen, into B) (e record.Entry, ok bool) {
	t.Helper()
	for _, of := range k.entries() {
		if of.Kind != into.Kind() {
			continue
		}
		if err := of.Decode(into); err != nil {
			t.Fatal(err)
		}
		e, ok = of, true
	}
	return e, ok
}

// A checkpoint is held by the other site, which signs it, and the signature comes
// back into the record; so it goes on from one batch to the next, and over a
// restart of either.
func TestACheckpointIsHeldAndSignedByTheOtherSite(t *testing.T) {
	yard, meadow, atYard, atMeadow := neighbours(t)
	exchange := func() {
		t.Helper()
		meadow.app.OtherRecord("Alder Yard", atYard.checkpoint)
		meadow.poll(time.Second)
		yard.app.Cosigned("Long Meadow", atMeadow.cosigned["Alder Yard"])
		yard.poll(time.Second)
		var own record.Checkpoint
		var held record.Witness
		var signed record.Cosignature
		newestOf(t, yard, &own)
		if _, ok := newestOf(t, meadow, &held); !ok || held.Note != own.Note || held.Fault != "" {
			t.Fatalf("the other site holds %+v, want the newest checkpoint %q", held, own.Note)
		}
		if _, ok := newestOf(t, yard, &signed); !ok || signed.Size != held.Size || signed.Site != "Long Meadow" {
			t.Fatalf("the signature that came back is %+v, want one of %d leaves", signed, held.Size)
		}
		if err := witness.CheckCosigned(signed.Note, meadow.app.record.VerifierKey()); err != nil {
			t.Error(err)
		}
	}
	exchange()
	yard.hold()
	end(yard)
	exchange()
	yard.restart(time.Minute)
	meadow.restart(time.Minute)
	yard.did("fill 1.8 kg; charge 220 g; light")
	end(yard)
	exchange()
	before := len(meadow.entries())
	meadow.app.OtherRecord("Alder Yard", atYard.checkpoint)
	meadow.poll(time.Second)
	if after := len(meadow.entries()); after != before+1 { // the reading
		t.Errorf("a checkpoint that is held already was recorded again: %d entries, then %d", before, after)
	}
}

// A record that was put back to an old copy, and goes on with its own key, is found
// out by the other site, which calls somebody once, and by itself, as soon as it
// hears what the other site signed.
func TestARecordThatWasPutBackIsFoundOutOnBothSides(t *testing.T) {
	atYard, atMeadow := &board{}, &board{}
	yard := newKitchenWith(t, func(o *Options) { o.Publisher = atYard })
	meadow := newHouse(t)
	meadow.app.opt.Publisher = atMeadow
	old := filepath.Join(t.TempDir(), "record")
	yard.app.OtherRecord("Long Meadow", saidBy(t, meadow.kitchen))
	yard.poll(time.Second)
	yard.kill()
	if err := os.CopyFS(old, os.DirFS(yard.dir)); err != nil {
		t.Fatal(err)
	}
	yard.start()
	yard.hold()
	end(yard)
	meadow.app.OtherRecord("Alder Yard", atYard.checkpoint)
	meadow.poll(time.Second)

	yard.kill()
	if err := errors.Join(os.RemoveAll(yard.dir), os.CopyFS(yard.dir, os.DirFS(old))); err != nil {
		t.Fatal(err)
	}
	yard.start()
	yard.app.Cosigned("Long Meadow", atMeadow.cosigned["Alder Yard"])
	yard.poll(time.Second)
	var w record.Witness
	if _, ok := newestOf(t, yard, &w); !ok || !strings.Contains(w.Fault, "this record is not the one that Long Meadow signed") {
		t.Errorf("the yard recorded %+v", w)
	}
	for range 3 {
		meadow.app.OtherRecord("Alder Yard", atYard.checkpoint)
		meadow.poll(time.Second)
	}
	if told := witnessed(t, meadow.kitchen); len(told) != 2 || !strings.Contains(told[1], "became shorter") {
		t.Errorf("the other site recorded %q, want a checkpoint and one fault", told)
	}
	n := meadow.robin.await(t, "", notice.Watcher)
	if !strings.Contains(n.Title+n.Text, "Alder Yard has rewritten its record") {
		t.Errorf("Robin was told %+v", n)
	}
}

// saidBy is what a site says of its record now.
func saidBy(t *testing.T, k *kitchen) []byte {
	t.Helper()
	document, err := witness.Said{Note: k.app.vouching.note, Key: k.app.vouching.key}.Encode()
	if err != nil {
		t.Fatal(err)
	}
	return document
}

// witnessed lists the faults of what was witnessed, empty where it was believed.
func witnessed(t *testing.T, k *kitchen) (told []string) {
	t.Helper()
	for _, e := range k.entries() {
		var w record.Witness
		if e.Kind == record.KindWitness && e.Decode(&w) == nil {
			told = append(told, w.Fault)
		}
	}
	return told
}

// A witness that was away for more checkpoints than are proven says that it cannot
// know and goes on from there; unless the other site has heard which it holds.
func TestAWitnessThatWasAwayForLong(t *testing.T) {
	for name, told := range map[string]bool{"and was not heard": false, "and was heard": true} {
		t.Run(name, func(t *testing.T) {
			yard, meadow, atYard, atMeadow := neighbours(t)
			meadow.app.OtherRecord("Alder Yard", atYard.checkpoint)
			meadow.poll(time.Second)
			for range witness.MaxGrown + 3 {
				yard.did("fill 1.8 kg; charge 220 g; light; abandon")
				yard.poll(time.Second)
			}
			if told {
				yard.app.Cosigned("Long Meadow", atMeadow.cosigned["Alder Yard"])
				yard.poll(time.Second)
			}
			meadow.app.OtherRecord("Alder Yard", atYard.checkpoint)
			meadow.poll(time.Second)
			got := witnessed(t, meadow)
			if told && (len(got) != 2 || got[1] != "") {
				t.Errorf("recorded %q; want two checkpoints", got)
			}
			if !told && (len(got) != 3 || !strings.Contains(got[1], "no proof") || got[2] != "") {
				t.Errorf("recorded %q; want a checkpoint, a gap, a checkpoint", got)
			}
		})
	}
}

// What somebody writes to the broker in a site's place is no proof of anything,
// and is not recorded.
func TestNonsenseAtTheBrokerIsNotRecorded(t *testing.T) {
	yard, _, atYard, atMeadow := neighbours(t)
	yard.app.OtherRecord("Long Meadow", []byte("nonsense"))
	yard.app.OtherRecord("Long Meadow", []byte(`{"note":"x","key":"y"}`))
	yard.app.Cosigned("Long Meadow", []byte("{"))
	yard.app.Cosigned("Long Meadow", atMeadow.checkpoint)
	yard.app.Cosigned("Long Meadow", atYard.checkpoint[:len(atYard.checkpoint)-1])
	yard.poll(time.Second)
	for _, e := range yard.entries() {
		if e.Kind == record.KindWitness || e.Kind == record.KindCosignature {
			t.Errorf("entry %d is %s", e.Seq, e.Body)
		}
	}
}
