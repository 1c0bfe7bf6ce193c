package record

import (
	"bytes"
	"context"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

func TestTheSigningKeyIsTheMakersAlone(t *testing.T) {
	dir := t.TempDir()
	r, _ := signed(t, dir)
	info := must(os.Stat(filepath.Join(dir, keyFile)))
	if info.Mode() != 0o600 {
		t.Errorf("mode %v, want it to be read by its owner alone", info.Mode())
	}
	private := strings.TrimSpace(string(must(os.ReadFile(filepath.Join(dir, keyFile)))))
	key, err := parseKey(private)
	if err != nil || key.public != r.VerifierKey() {
		t.Errorf("the file holds the key to %q, %v; want %q", key.public, err, r.VerifierKey())
	}
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	for path, text := range contents(t, dir) {
		if filepath.Base(path) != keyFile && strings.Contains(text, strings.Split(private, "+")[4]) {
			t.Errorf("%s holds the private key", path)
		}
	}
	if left := contents(t, dir); len(left) != 3 {
		t.Errorf("%d files are left, want record.db, lock and signing-key", len(left))
	}
}

func TestAKeyThatIsRotatedIsVouchedForAndKeptOverARestart(t *testing.T) {
	dir := t.TempDir()
	r, _ := signed(t, dir)
	before := r.VerifierKey()
	e := must(r.RotateKey(t.Context(), 2*time.Hour, nine, "Robin"))
	var k Key
	if err := e.Decode(&k); err != nil || k.VKey == before || k.Who != "Robin" || k.VKey != r.VerifierKey() || strings.Split(k.VKey, "+")[0] != strings.Split(before, "+")[0] {
		t.Errorf("after %s comes %+v, %v", before, k, err)
	}
	must(r.Checkpoint(t.Context(), 2*time.Hour, nine, WhyAsked))
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	r = openIn(t, dir)
	must(r.Checkpoint(t.Context(), 3*time.Hour, nine, WhyAsked))
	if r.VerifierKey() != k.VKey || r.NeedsKey() {
		t.Errorf("opened again, the key is %s, and needs one: %v", r.VerifierKey(), r.NeedsKey())
	}
	if err := sound(r.Reader, all(t, r.Reader)); err != nil {
		t.Error(err)
	}
}

// A daemon that is killed between the entry and the renaming of the file knows
// afterwards which key counts; before the entry, that the waiting one does not.
func TestAKilledRotationIsFinishedOrForgotten(t *testing.T) {
	dir := t.TempDir()
	r, _ := signed(t, dir)
	old := must(os.ReadFile(filepath.Join(dir, keyFile)))
	must(r.RotateKey(t.Context(), 2*time.Hour, nine, "Robin"))
	now := r.VerifierKey()
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	restore := func(waiting []byte, kept []byte) {
		t.Helper()
		for name, text := range map[string][]byte{keyFileNext: waiting, keyFile: kept} {
			if err := os.WriteFile(filepath.Join(dir, name), text, 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
	restore(must(os.ReadFile(filepath.Join(dir, keyFile))), old)
	r = openIn(t, dir)
	if r.NeedsKey() || r.key.public != now {
		t.Errorf("the waiting key, whose entry is on disk, was not taken")
	}
	must(r.Checkpoint(t.Context(), 3*time.Hour, nine, WhyAsked))
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	restore([]byte("PRIVATE+KEY+half a"), must(os.ReadFile(filepath.Join(dir, keyFile))))
	r = openIn(t, dir)
	if r.NeedsKey() || r.key.public != now {
		t.Errorf("a waiting key without an entry was not passed over")
	}
	must(r.RotateKey(t.Context(), 4*time.Hour, nine, "Robin")) // and is written over
	if err := sound(r.Reader, all(t, r.Reader)); err != nil {
		t.Error(err)
	}
}

// A record that came out of a backup has lost its private key, or found another's.
func TestARecordWithoutItsSigningKeyGoesOnWithANewOne(t *testing.T) {
	for what, key := range map[string]string{"lost": "", "damaged": "PRIVATE+KEY+oops", "of another record": must2(makeKey("bainward/elsewhere/00000000"))} {
		dir := t.TempDir()
		r, _ := signed(t, dir)
		before := r.VerifierKey()
		if err := r.Close(); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(dir, keyFile)
		if err := os.WriteFile(path, []byte(key), 0o600); err != nil {
			t.Fatal(err)
		}
		if key == "" {
			if err := os.Remove(path); err != nil {
				t.Fatal(err)
			}
		}
		var log bytes.Buffer
		r, err := Open(context.Background(), Options{Dir: dir, Logger: slog.New(slog.NewTextHandler(&log, nil))})
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		if !r.NeedsKey() || !strings.Contains(log.String(), "until a new key is in the record") || key != "" && strings.Contains(log.String(), key) {
			t.Errorf("%s: the log says %s", what, log.String())
		}
		if _, err := r.Checkpoint(t.Context(), time.Hour, nine, WhyAsked); err == nil {
			t.Errorf("%s: a checkpoint was signed", what)
		}
		appendTo(t, r, readingOf("north", 3601)) // watching goes on
		numbered := appendTo(t, r, must(Of(2*time.Hour, nine, "", Key{})), must(Of(2*time.Hour, nine, "", Checkpoint{Why: WhyStart})))
		var k Key
		if err := numbered[0].Decode(&k); err != nil || k.VKey == before || k.By != "" || k.Signature != "" {
			t.Errorf("%s: the new key is %+v, %v; want one that nothing vouches for", what, k, err)
		}
		if kept := must(os.ReadFile(path)); must(parseKey(string(kept))).public != k.VKey {
			t.Errorf("%s: the new key was not kept", what)
		}
		if old, err := os.ReadFile(path + ".old"); key != "" && string(old) != key {
			t.Errorf("%s: the key that lay there was not put aside: %v", what, err)
		}
		if err := r.Close(); err != nil {
			t.Error(err)
		}
	}
}

// must2 returns the private text of a key.
func must2(_ signingKey, private string, err error) string { return must(private, err) }

func TestAFailedFirstKeyIsMadeAgain(t *testing.T) {
	r := openIn(t, t.TempDir())
	if _, err := r.conn.ExecContext(t.Context(), "CREATE TEMP TRIGGER refuse BEFORE INSERT ON hash BEGIN SELECT RAISE(FAIL, 'no'); END"); err != nil {
		t.Fatal(err)
	}
	first := []Entry{must(Of(0, nine, "", Key{})), must(Of(0, nine, "", Checkpoint{Why: WhyStart}))}
	if _, err := r.Append(t.Context(), first); err == nil {
		t.Fatal("the trigger did not refuse")
	}
	if r.VerifierKey() != "" || !r.NeedsKey() {
		t.Error("the record has a key whose entry was not written")
	}
	if _, err := r.conn.ExecContext(t.Context(), "DROP TRIGGER refuse"); err != nil {
		t.Fatal(err)
	}
	appendTo(t, r, first...)
	if err := sound(r.Reader, all(t, r.Reader)); err != nil || r.NeedsKey() {
		t.Error(err)
	}
}
