package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"
)

// What must never be seen: the path of a webhook's address, and its key.
const (
	plantedPath = "t0psecret-path"
	plantedKey  = "t0psecret-key-of-the-webhook"
)

// alarmYard is a folder with a site file whose ways to people a test adds.
type alarmYard struct {
	workshop
	listen string
	ways   strings.Builder
}

func newAlarmYard(t *testing.T) *alarmYard {
	y := &alarmYard{workshop: workshop{t: t, dir: t.TempDir()}, listen: freePort(t)}
	t.Setenv("TMPDIR", t.TempDir())
	for address, text := range wireFiles {
		y.file(filepath.Join("w1", address, "w1_slave"), text)
	}
	return y
}

// webhook adds a contact who is called by a webhook at address.
func (y *alarmYard) webhook(contact, channel, address string) {
	y.t.Helper()
	fmt.Fprintf(&y.ways, "[[channel]]\nname = %q\nkind = \"webhook\"\nurl_file = %q\nkey_file = %q\n[[contact]]\nname = %q\nchannels = [%q]\n",
		channel, y.file(channel+".url", address+"/"+plantedPath), y.file(channel+".key", plantedKey), contact, channel)
}

func (y *alarmYard) site() string {
	y.t.Helper()
	return y.file("alder.toml", strings.Replace(fmt.Sprintf(deathSite, "Alder Yard", ""), "[broker]\n", "", 1)+y.ways.String())
}

// test runs the command and fails if it shows a secret or leaves a file behind.
func (y *alarmYard) test(ctx context.Context, args ...string) (code int, stdout, stderr string) {
	y.t.Helper()
	var out, complaints bytes.Buffer
	args = append([]string{"test-alarm", "--site", y.site(), "--listen", y.listen, "--record", filepath.Join(y.dir, "record")}, args...)
	code = run(ctx, args, &out, &complaints)
	for _, secret := range []string{plantedPath, plantedKey} {
		if strings.Contains(out.String()+complaints.String(), secret) {
			y.t.Errorf("a secret is shown:\n%s%s", &out, &complaints)
		}
	}
	if left, err := os.ReadDir(os.Getenv("TMPDIR")); err != nil || len(left) > 0 {
		y.t.Errorf("left behind: %v, %v", left, err)
	}
	return code, out.String(), complaints.String()
}

// answering is a far end that answers with a status; 0: never. It counts.
func answering(t *testing.T, status int) (address string, asked *atomic.Int64) {
	t.Helper()
	asked = &atomic.Int64{}
	ended := make(chan struct{})
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		asked.Add(1)
		if status == 0 {
			<-ended
			return
		}
		w.WriteHeader(status)
		fmt.Fprintf(w, "you asked %s", r.URL) // a far end that repeats the address
	}))
	t.Cleanup(s.Close)
	t.Cleanup(func() { close(ended) })
	return s.URL, asked
}

func mustSay(t *testing.T, text string, lines ...string) {
	t.Helper()
	for _, line := range lines {
		if !strings.Contains(text, line) {
			t.Errorf("it does not say %q:\n%s", line, text)
		}
	}
}

// Without a daemon each way is proven here, one that hangs or cannot be opened
// delays and hides no other, and nothing is left behind.
func TestWithoutADaemonEveryWayIsProvenAndNothingIsLeft(t *testing.T) {
	y := newAlarmYard(t)
	good, heard := answering(t, http.StatusOK)
	broken, _ := answering(t, http.StatusInternalServerError)
	hangs, _ := answering(t, 0)
	y.webhook("Robin", "desk", good)
	y.webhook("Sorrel", "shed", broken)
	y.webhook("Tansy", "attic", hangs)
	y.webhook("Yarrow", "cellar", good)
	y.site()
	if err := os.Remove(filepath.Join(y.dir, "cellar.key")); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 3*time.Second) // in place of the 20 s that a person would wait
	defer cancel()
	code, out, said := y.test(ctx)
	mustSay(t, out,
		"worked  Robin through desk (webhook): 200 OK\n",
		"FAILED  Sorrel through shed (webhook): post to webhook: it answered 500 Internal Server Error\n",
		"FAILED  Tansy through attic (webhook): post to webhook: no answer in time",
		"FAILED  Yarrow through cellar (webhook): read secret from ",
		"No daemon runs (nothing listens at "+y.listen+"), so this was not recorded; see that each message arrived.\n")
	if code != exitFailed || said != "bainward: 3 of 4 ways to reach a person failed: mend them before a bath is lit\n" {
		t.Errorf("exit code %d, %q", code, said)
	}
	if heard.Load() != 1 {
		t.Errorf("Robin was sent %d messages, want 1", heard.Load())
	}
	if _, err := os.Stat(filepath.Join(y.dir, "record")); !os.IsNotExist(err) {
		t.Errorf("a record was made: %v", err)
	}
}

// All is well: exit code 0, and JSON Lines for programs that want them.
func TestWhenEveryWayWorksTheTestSucceeds(t *testing.T) {
	y := newAlarmYard(t)
	good, _ := answering(t, http.StatusNoContent)
	y.webhook("Robin", "desk", good)
	code, out, said := y.test(t.Context(), "--json")
	var got struct {
		Contact, Channel, Kind, Answer string
		Worked, Recorded               bool
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil || code != exitDone || said != "" {
		t.Fatalf("exit code %d, %q, %v: %s", code, said, err, out)
	}
	if got.Contact != "Robin" || got.Channel != "desk" || got.Kind != "webhook" || got.Answer != "204 No Content" || !got.Worked || got.Recorded {
		t.Errorf("it wrote %+v", got)
	}
}

// The list of phones that were signed up is read and stays as it is, down to who
// owns it: a key made by another user would keep the daemon from starting.
func TestTheRecordsFolderIsOnlyRead(t *testing.T) {
	y := newAlarmYard(t)
	fmt.Fprintf(&y.ways, "[phone]\nsubject = \"mailto:keeper@alder-yard.example\"\naddress = \"https://alder-yard.example\"\n"+
		"[[channel]]\nname = \"robin-phone\"\nkind = \"push\"\ncontact = \"Robin\"\n[[contact]]\nname = \"Robin\"\nchannels = [\"robin-phone\"]\n")
	const want = "FAILED  Robin through robin-phone (push): no phone is signed up for Robin"
	if err := os.Mkdir(filepath.Join(y.dir, "record"), 0o700); err != nil {
		t.Fatal(err)
	}
	code, out, _ := y.test(t.Context())
	mustSay(t, out, want)
	if left, err := os.ReadDir(filepath.Join(y.dir, "record")); err != nil || len(left) > 0 || code != exitFailed {
		t.Errorf("exit code %d; in the record's folder there is %v, %v", code, left, err)
	}
	devices := y.file("record/push-devices.json", "damaged")
	_, out, _ = y.test(t.Context())
	mustSay(t, out, "FAILED  Robin through robin-phone (push): ", "push-devices.json")
	if text, err := os.ReadFile(devices); err != nil || string(text) != "damaged" {
		t.Errorf("the list of phones became %q, %v", text, err)
	}
}

// What answers at the daemon's address may be another program.
func TestAnotherProgramIsNotTakenForTheDaemon(t *testing.T) {
	good, heard := answering(t, http.StatusOK)
	for name, handler := range map[string]http.HandlerFunc{
		"no such page": http.NotFound,
		"a page":       func(w http.ResponseWriter, _ *http.Request) { fmt.Fprint(w, "<h1>hello</h1>") },
		"other JSON":   func(w http.ResponseWriter, _ *http.Request) { fmt.Fprint(w, `{"phones": 3}`) },
		"a way away":   http.RedirectHandler("/elsewhere", http.StatusFound).ServeHTTP,
	} {
		t.Run(name, func(t *testing.T) {
			other := httptest.NewServer(handler)
			defer other.Close()
			y := newAlarmYard(t)
			y.listen = other.Listener.Addr().String()
			y.webhook("Robin", "desk", good)
			before := heard.Load()
			code, out, _ := y.test(t.Context())
			mustSay(t, out, "worked  Robin through desk", "No daemon runs ("+y.listen+": ")
			if code != exitDone || heard.Load() != before+1 {
				t.Errorf("exit code %d; Robin was sent %d messages", code, heard.Load()-before)
			}
		})
	}
}

// A daemon that runs does the test itself and records it; a way that was written
// into the site file after it started counts as failed.
func TestARunningDaemonProvesItsOwnChannels(t *testing.T) {
	y := newAlarmYard(t)
	good, heard := answering(t, http.StatusOK)
	y.webhook("Robin", "desk", good)
	ctx, stop := context.WithCancel(t.Context())
	ready, gone := make(chan struct{}), make(chan int, 1)
	site := y.site()
	go func() {
		gone <- run(ctx, []string{"watch", "--site", site, "--root", filepath.Join(y.dir, "w1"), "--listen", y.listen,
			"--record", filepath.Join(y.dir, "record")}, &awaited{text: "pages are at", seen: ready}, &bytes.Buffer{})
	}()
	defer func() {
		stop()
		if code := <-gone; code != exitDone {
			t.Errorf("the daemon ended with %d", code)
		}
	}()
	<-ready
	code, out, said := y.test(t.Context())
	mustSay(t, out, "worked  Robin through desk (webhook): 200 OK\n", "The daemon at "+y.listen+" sent these and recorded them; see that each message arrived.\n")
	if code != exitDone || said != "" || heard.Load() != 1 {
		t.Errorf("exit code %d, %q; Robin was sent %d messages", code, said, heard.Load())
	}

	y.webhook("Sorrel", "shed", good)
	code, out, said = y.test(t.Context(), "--json")
	mustSay(t, out, `"contact":"Robin","channel":"desk","kind":"webhook","worked":true,"answer":"200 OK","recorded":true}`,
		`"contact":"Sorrel","channel":"shed","kind":"webhook","worked":false,"answer":"the daemon that runs does not know this way: restart it, so that it reads the site file"`)
	if code != exitFailed || !strings.Contains(said, "1 of 2 ways") {
		t.Errorf("exit code %d, %q", code, said)
	}
}

// awaited is an output that tells when it was told a text.
type awaited struct {
	text string
	seen chan struct{}
	had  bool
}

func (a *awaited) Write(b []byte) (int, error) {
	if !a.had && bytes.Contains(b, []byte(a.text)) {
		a.had = true
		close(a.seen)
	}
	return len(b), nil
}

// A daemon that listens everywhere is asked on this machine.
func TestADaemonThatListensEverywhereIsAskedHere(t *testing.T) {
	for listen, want := range map[string]string{
		"127.0.0.1:8470": "127.0.0.1:8470", "0.0.0.0:8470": "127.0.0.1:8470", ":8470": "127.0.0.1:8470",
		"[::]:8470": "[::1]:8470", "192.0.2.7:80": "192.0.2.7:80", "alder-pi:8470": "alder-pi:8470",
	} {
		if got := reachable(listen); got != want {
			t.Errorf("a daemon at %s is asked at %s, want %s", listen, got, want)
		}
	}
}
