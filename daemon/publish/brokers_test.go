package publish

import (
	"context"
	"fmt"
	"log/slog"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	mqtt "github.com/eclipse/paho.mqtt.golang"
)

// patience is how long a test waits for what must come.
const patience = 30 * time.Second

// testBroker is a broker at a fixed address that can be ended and begun again.
type testBroker interface {
	start(t *testing.T, address string)
	stop(t *testing.T)
}

// eachBroker runs a test against the embedded broker and against mosquitto.
func eachBroker(t *testing.T, test func(t *testing.T, b testBroker, address string)) {
	for name, b := range map[string]func(t *testing.T) testBroker{
		"embedded":  func(*testing.T) testBroker { return &embedded{} },
		"mosquitto": func(t *testing.T) testBroker { return &mosquitto{program: findMosquitto(t)} },
	} {
		t.Run(name, func(t *testing.T) {
			broker, address := b(t), freeAddress(t)
			broker.start(t, address)
			t.Cleanup(func() { broker.stop(t) })
			test(t, broker, address)
		})
	}
}

type embedded struct{ b *Broker }

func (e *embedded) start(t *testing.T, address string) {
	t.Helper()
	b, err := StartBroker(BrokerOptions{Address: address, Logger: slog.New(slog.DiscardHandler)})
	if err != nil {
		t.Fatal(err)
	}
	e.b = b
}

func (e *embedded) stop(t *testing.T) {
	if e.b == nil {
		return
	}
	if err := e.b.Close(); err != nil {
		t.Error(err)
	}
	e.b = nil
}

// mosquitto is Debian's broker, without memory over a restart.
type mosquitto struct {
	program string
	cmd     *exec.Cmd
}

func (m *mosquitto) start(t *testing.T, address string) {
	t.Helper()
	_, port, err := net.SplitHostPort(address)
	if err != nil {
		t.Fatal(err)
	}
	config := filepath.Join(t.TempDir(), "mosquitto.conf")
	text := fmt.Sprintf("listener %s 127.0.0.1\nallow_anonymous true\npersistence false\n", port)
	if err := os.WriteFile(config, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	m.cmd = exec.Command(m.program, "-c", config)
	if err := m.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	await(t, "mosquitto to listen", func() bool {
		c, err := net.Dial("tcp", address)
		if err != nil {
			return false
		}
		c.Close()
		return true
	})
}

func (m *mosquitto) stop(*testing.T) {
	if m.cmd == nil {
		return
	}
	_ = m.cmd.Process.Kill()
	_ = m.cmd.Wait()
	m.cmd = nil
}

// findMosquitto skips the test if mosquitto is not there, and fails where
// everything must be tested (CI=true). It lies outside the PATH of most people.
func findMosquitto(t *testing.T) string {
	t.Helper()
	for _, name := range []string{"mosquitto", "/usr/sbin/mosquitto"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	if os.Getenv("CI") == "true" {
		t.Fatal("mosquitto is missing (Debian: apt-get install mosquitto)")
	}
	t.Skip("mosquitto is missing")
	return ""
}

// freeAddress returns a loopback address that was free a moment ago.
func freeAddress(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String()
}

// await asks again and again until what it waits for is so.
func await(t *testing.T, what string, isSo func() bool) {
	t.Helper()
	late := time.After(patience)
	again := time.NewTicker(5 * time.Millisecond)
	defer again.Stop()
	for !isSo() {
		select {
		case <-late:
			t.Fatalf("waited %v for %s", patience, what)
		case <-again.C:
		}
	}
}

// ear is a stranger who listens at the broker.
type ear struct {
	client mqtt.Client
	heard  chan mqtt.Message
}

// listen subscribes to everything below bainward.
func listen(t *testing.T, address string) *ear {
	t.Helper()
	e := &ear{heard: make(chan mqtt.Message, 10_000)}
	e.client = mqtt.NewClient(mqtt.NewClientOptions().AddBroker("tcp://" + address).
		SetClientID(strings.ReplaceAll(fmt.Sprintf("ear%p", e), "0x", "")).SetAutoReconnect(false))
	must(t, e.client.Connect())
	must(t, e.client.Subscribe("bainward/#", 1, func(_ mqtt.Client, m mqtt.Message) { e.heard <- m }))
	t.Cleanup(func() { e.client.Disconnect(0) })
	return e
}

// say publishes something, such as an order.
func (e *ear) say(t *testing.T, topic, payload string, retained bool) {
	t.Helper()
	must(t, e.client.Publish(topic, 1, retained, payload))
}

func must(t *testing.T, token mqtt.Token) {
	t.Helper()
	if !token.WaitTimeout(patience) {
		t.Fatal("the broker did not answer")
	}
	if err := token.Error(); err != nil {
		t.Fatal(err)
	}
}

// hear waits for a message whose topic ends in suffix and whose payload holds
// text, and returns it.
func (e *ear) hear(t *testing.T, suffix, text string) mqtt.Message {
	t.Helper()
	late := time.After(patience)
	for {
		select {
		case m := <-e.heard:
			if strings.HasSuffix(m.Topic(), suffix) && strings.Contains(string(m.Payload()), text) {
				return m
			}
		case <-late:
			t.Fatalf("waited %v for %q on %s", patience, text, suffix)
		}
	}
}

// hearAll waits for a message on each of the topics, in any order.
func (e *ear) hearAll(t *testing.T, suffixes ...string) {
	t.Helper()
	late := time.After(patience)
	for len(suffixes) > 0 {
		select {
		case m := <-e.heard:
			suffixes = slices.DeleteFunc(suffixes, func(s string) bool { return strings.HasSuffix(m.Topic(), s) })
		case <-late:
			t.Fatalf("waited %v for %q", patience, suffixes)
		}
	}
}

// publisher starts one to the broker at address, and stops it with the test.
func publisher(t *testing.T, address string, change func(*Options)) *Publisher {
	t.Helper()
	o := Options{
		URL: "mqtt://" + address, Site: "Alder Yard",
		Logger: slog.New(slog.NewTextHandler(t.Output(), nil)), Retry: 10 * time.Millisecond,
	}
	if change != nil {
		change(&o)
	}
	p, err := New(o)
	if err != nil {
		t.Fatal(err)
	}
	p.Start()
	return p
}

// stop ends p in order.
func stop(t *testing.T, p *Publisher) {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	if err := p.Stop(ctx); err != nil {
		t.Error(err)
	}
}
