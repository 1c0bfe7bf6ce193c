package main

import (
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"
)

// Two kernel files as a DS18B20 at 19.8 °C and at 24.3 °C makes them.
var wireFiles = map[string]string{
	"28-000005fba71c": "3d 01 4b 46 7f ff 03 10 6d : crc=6d YES\n3d 01 4b 46 7f ff 03 10 6d t=19812\n",
	"28-00000bbb9b13": "84 01 4b 46 7f ff 0c 10 72 : crc=72 YES\n84 01 4b 46 7f ff 0c 10 72 t=24250\n",
}

const deathSite = `[site]
name = "%s"
elevation_m = 120
[[bath]]
name = "north"
pan_inside_diameter_mm = 250
dish_outside_diameter_mm = 205
dish_base_height_mm = 30
oil_probe = "28-00000bbb9b13"
bath_probe = "28-000005fba71c"
[broker]
%s
`

// workshop is a folder with what two daemons need.
type workshop struct {
	t       *testing.T
	dir     string
	program string
}

func (w workshop) file(name, text string) string {
	w.t.Helper()
	path := filepath.Join(w.dir, name)
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		w.t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		w.t.Fatal(err)
	}
	return path
}

// watch starts a daemon.
func (w workshop) watch(name, site string) *exec.Cmd {
	w.t.Helper()
	c := exec.Command(w.program, "watch", "--site", w.file(name+".toml", site), "--root", filepath.Join(w.dir, "w1"),
		"--record", filepath.Join(w.dir, name), "--listen", "127.0.0.1:0")
	log, err := os.Create(filepath.Join(w.dir, name+".log"))
	if err != nil {
		w.t.Fatal(err)
	}
	c.Stdout, c.Stderr = log, log
	if err := c.Start(); err != nil {
		w.t.Fatal(err)
	}
	w.t.Cleanup(func() {
		_ = c.Process.Kill() // it may have been killed before
		_ = c.Wait()
		if text, err := os.ReadFile(log.Name()); err == nil && w.t.Failed() {
			w.t.Logf("%s said:\n%s", name, text)
		}
	})
	return c
}

// freePort is an address that was free a moment ago.
func freePort(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String()
}

// A daemon that is killed stops its heartbeat, and its sibling at the same
// broker tells the sibling's own people within a minute. Real programs, a real
// broker, a real SIGKILL.
func TestAKilledDaemonIsMissedByItsSiblingAndByTheHeartbeat(t *testing.T) {
	if testing.Short() {
		t.Skip("takes most of a minute: a restart has 30 s of grace")
	}
	dir := t.TempDir()
	w := workshop{t, dir, buildProgram(t, dir)}
	for address, text := range wireFiles {
		w.file(filepath.Join("w1", address, "w1_slave"), text)
	}
	type told struct{ Kind, Contact, Title, Text, Priority string }
	heard := make(chan told, 10)
	phone := httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		var n told
		body, err := io.ReadAll(r.Body)
		if err == nil && json.Unmarshal(body, &n) == nil {
			heard <- n
		}
	}))
	defer phone.Close()
	var beats atomic.Int64
	elsewhere := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { beats.Add(1) }))
	defer elsewhere.Close()

	broker := freePort(t)
	w.watch("meadow", fmt.Sprintf(deathSite, "Long Meadow", `embedded = "`+broker+`"`)+
		"[[sibling]]\nsite = \"Alder Yard\"\n[[contact]]\nname = \"Sorrel\"\nchannels = [\"desk\"]\n[[channel]]\nname = \"desk\"\nkind = \"webhook\"\n"+
		"url_file = \""+w.file("desk.url", phone.URL+"/notices")+"\"\nkey_file = \""+w.file("desk.key", "sixteen bytes or more")+"\"\n")
	alder := w.watch("alder", fmt.Sprintf(deathSite, "Alder Yard", `url = "mqtt://`+broker+`"`)+
		"[heartbeat]\nurl_file = \""+w.file("beat.url", elsewhere.URL+"/alder")+"\"\nevery_s = 10\n")

	awaitLog(t, filepath.Join(dir, "alder.log"), "connected to the broker")
	for end := time.Now().Add(30 * time.Second); beats.Load() == 0; {
		if time.Now().After(end) {
			t.Fatal("the heartbeat never came")
		}
		<-time.After(50 * time.Millisecond) // another process: there is nothing to wait on
	}
	if err := alder.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = alder.Wait()
	killed, before := time.Now(), beats.Load()
	select {
	case n := <-heard:
		t.Logf("%.0f s after the kill %s was told (%s): %s. %s", time.Since(killed).Seconds(), n.Contact, n.Priority, n.Title, n.Text)
		if n.Kind != "watcher" || !strings.Contains(n.Title, "Alder Yard") || n.Contact != "Sorrel" {
			t.Errorf("Sorrel was told %+v", n)
		}
	case <-time.After(90 * time.Second):
		t.Fatal("nobody was told of the death within 90 s")
	}
	if n := beats.Load(); n != before {
		t.Errorf("the dead daemon's heart beat %d times more", n-before)
	}
}

func awaitLog(t *testing.T, path, want string) {
	t.Helper()
	for end := time.Now().Add(30 * time.Second); ; {
		text, err := os.ReadFile(path)
		if err == nil && strings.Contains(string(text), want) {
			return
		}
		if time.Now().After(end) {
			t.Fatalf("%s never says %q: %s", path, want, text)
		}
		<-time.After(50 * time.Millisecond)
	}
}
