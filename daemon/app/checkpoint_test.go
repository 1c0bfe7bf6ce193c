package app

import (
	"bytes"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"golang.org/x/mod/sumdb/note"

	"bainward/daemon/record"
)

// whys lists why each checkpoint was made, having checked its signature.
func (k *kitchen) whys() string {
	k.t.Helper()
	key, err := note.NewVerifier(k.app.record.VerifierKey())
	if err != nil {
		k.t.Fatal(err)
	}
	var whys []string
	for c, err := range k.app.record.Checkpoints(k.t.Context()) {
		if err != nil {
			k.t.Fatal(err)
		}
		if _, err := note.Open([]byte(c.Note), note.VerifierList(key)); err != nil {
			k.t.Errorf("checkpoint of entry %d: %v", c.Entry.Seq, err)
		}
		if root, err := k.app.record.Root(k.t.Context(), c.Head.Size); err != nil || root != c.Head.Root {
			k.t.Errorf("checkpoint of entry %d: root %v, the record has %v (%v)", c.Entry.Seq, c.Head.Root, root, err)
		}
		whys = append(whys, c.Why)
	}
	return strings.Join(whys, ", ")
}

func TestTheRecordIsSignedFromItsFirstStart(t *testing.T) {
	var log bytes.Buffer
	k := newKitchenWith(t, func(o *Options) { o.Logger = slog.New(slog.NewTextHandler(&log, nil)) })
	all := k.entries()
	if all[0].Kind != record.KindKey || all[1].Kind != record.KindRestart {
		t.Errorf("the record begins with %s and %s, want key and restart", all[0].Kind, all[1].Kind)
	}
	key := k.app.record.VerifierKey()
	if !strings.HasPrefix(key, "bainward/alder-yard/") || strings.Count(log.String(), key) != 1 {
		t.Errorf("key %q; the log says\n%s", key, log.String())
	}
	private, err := os.ReadFile(filepath.Join(k.dir, "signing-key"))
	if err != nil || strings.Contains(log.String(), strings.TrimSpace(string(private))) {
		t.Errorf("the private key: %v", err)
	}
	k.restart(time.Minute)
	if got := k.whys(); got != "start" || k.app.record.VerifierKey() != key || strings.Count(log.String(), key) != 1 {
		t.Errorf("after a restart: checkpoints %q, key %s", got, k.app.record.VerifierKey())
	}
}

func TestACheckpointIsMadeEveryHourWhileABathIsLitAndAtTheEnd(t *testing.T) {
	k := newKitchen(t)
	k.pollFor(2 * time.Hour)
	if got := k.whys(); got != "start" {
		t.Errorf("two hours of a cold bath: %s", got)
	}
	k.hold()
	if got := k.whys(); got != "start, hour" {
		t.Errorf("lit: %s", got)
	}
	k.pollFor(30 * time.Minute)
	k.restart(time.Second) // the hour goes on from the last checkpoint
	k.pollFor(15 * time.Minute)
	if got := k.whys(); got != "start, hour, hour" {
		t.Errorf("an hour later: %s", got)
	}
	k.did("abandon")
	before := len(k.entries())
	k.pollFor(closeAfter + time.Minute)
	if got := k.whys(); got != "start, hour, hour, batch end" {
		t.Errorf("after the batch: %s", got)
	}
	var tail []record.Kind
	for _, e := range k.entries()[before:] {
		if e.Kind == record.KindBatch || e.Kind == record.KindCheckpoint {
			tail = append(tail, e.Kind)
		}
	}
	if got := fmt.Sprint(tail); got != "[batch checkpoint]" {
		t.Errorf("the batch ends with %s", got)
	}
	if err := k.app.recordStop(); err != nil {
		t.Fatal(err)
	}
	if got := k.whys(); got != "start, hour, hour, batch end, stop" {
		t.Errorf("at the end: %s", got)
	}
	checkRefold(t, k.entries())
}

// A daemon whose signing key is gone watches on; its next start makes a new one.
func TestALostSigningKeyKeepsNobodyFromWatching(t *testing.T) {
	k := newKitchen(t)
	k.poll(time.Second)
	k.kill()
	if err := os.WriteFile(filepath.Join(k.dir, "signing-key"), []byte("damaged"), 0o600); err != nil {
		t.Fatal(err)
	}
	k.start()
	k.poll(time.Second)
	k.hold()
	if n := k.count(record.KindKey); n != 2 {
		t.Errorf("%d keys, want the first and a new one", n)
	}
	if n := k.count(record.KindCheckpoint); n != 2 {
		t.Errorf("%d checkpoints, want one of each key", n)
	}
	checkRefold(t, k.entries())
}
