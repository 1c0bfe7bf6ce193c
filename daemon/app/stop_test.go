package app

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"bainward/daemon/record"
)

func TestStoppingIsOrderly(t *testing.T) {
	k := newKitchen(t)
	k.kill()
	goroutines := runtime.NumGoroutine()
	ctx, cancel := context.WithCancel(context.Background())
	ready := make(chan string, 1)
	polled := make(chan struct{}, 1)
	var told []string
	opt := k.options()
	opt.Every = time.Millisecond
	opt.Ready = func(address string) { ready <- address }
	opt.Notify = func(state string) {
		told = append(told, state)
		select {
		case polled <- struct{}{}:
		default:
		}
	}
	a, err := New(ctx, opt)
	if err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- a.Run(ctx) }()
	address := <-ready
	host := strings.TrimSuffix(strings.TrimPrefix(address, "http://"), "/")
	page := lookOn(t, host)
	defer page.Close()
	for range 3 {
		<-polled
	}
	cancel()
	if err := <-ended; err != nil {
		t.Errorf("stopping gives %v", err)
	}
	if told[0] != "READY=1" || told[len(told)-1] != "STOPPING=1" {
		t.Errorf("the service manager was told %q first and %q last", told[0], told[len(told)-1])
	}
	if err := a.Void(context.Background(), "north", 1, "a slip", "maker"); !errors.Is(err, errEnded) {
		t.Errorf("a deed after the end gives %v", err)
	}
	conn, err := net.Dial("tcp", host)
	if err == nil {
		conn.Close()
		t.Error("the port is still open")
	}
	for range 100_000 { // what has ended may not have left yet
		if runtime.NumGoroutine() <= goroutines {
			break
		}
		runtime.Gosched()
	}
	if n := runtime.NumGoroutine(); n > goroutines {
		stacks := make([]byte, 1<<16)
		t.Errorf("%d goroutines left:\n%s", n-goroutines, stacks[:runtime.Stack(stacks, true)])
	}
	r, err := record.OpenReader(k.dir)
	if err != nil {
		t.Fatal(err)
	}
	all := entriesOf(t, r)
	if e := all[len(all)-2]; e.Kind != record.KindStop {
		t.Errorf("the record ends with %s before its last checkpoint, want stop", e.Kind)
	}
	if e := all[len(all)-1]; e.Kind != record.KindCheckpoint {
		t.Errorf("what is signed ends before a %s", e.Kind)
	}
	if err := r.Close(); err != nil {
		t.Error(err)
	}
	checkRefold(t, all)
	k.start() // for the end of the test to kill
}

// lookOn opens the live stream as a page does, without the goroutines of an
// HTTP client.
func lookOn(t *testing.T, host string) net.Conn {
	t.Helper()
	conn, err := net.Dial("tcp", host)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := fmt.Fprintf(conn, "GET /live HTTP/1.1\r\nHost: %s\r\n\r\n", host); err != nil {
		t.Fatal(err)
	}
	status, err := bufio.NewReader(conn).ReadString('\n')
	if err != nil || !strings.Contains(status, "200") {
		t.Fatalf("the stream answers %q (%v)", status, err)
	}
	return conn
}

func TestASecondDaemonOnTheSameRecordIsRefused(t *testing.T) {
	k := newKitchen(t)
	k.poll(time.Second)
	before := len(k.entries())
	port := freePort(t)
	opt := k.options()
	opt.Listen = port
	_, err := New(t.Context(), opt)
	var inUse *record.InUseError
	if !errors.As(err, &inUse) || inUse.PID != os.Getpid() {
		t.Errorf("got %v, want that the record is in use by this process", err)
	}
	if l, err := net.Listen("tcp", port); err != nil {
		t.Errorf("the second daemon left its port open: %v", err)
	} else if err := l.Close(); err != nil {
		t.Error(err)
	}
	k.poll(time.Second)
	if n := len(k.entries()); n != before+1 {
		t.Errorf("%d entries came meanwhile, want one poll", n-before)
	}
}

// freePort returns an address on which nobody listens.
func freePort(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String()
}

func TestADaemonThatCannotStartLeavesNothingBehind(t *testing.T) {
	k := newKitchen(t)
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	place := t.TempDir()
	file := filepath.Join(place, "file")
	if err := os.WriteFile(file, []byte("no folder"), 0o600); err != nil {
		t.Fatal(err)
	}
	for what, change := range map[string]func(*Options){
		"the port is taken":                    func(o *Options) { o.Listen = taken.Addr().String() },
		"a file lies in the record's place":    func(o *Options) { o.RecordDir = file },
		"a file lies where its folder must be": func(o *Options) { o.RecordDir = filepath.Join(file, "record") },
		"an option is missing":                 func(o *Options) { o.Source = nil },
	} {
		opt := k.options()
		opt.RecordDir = filepath.Join(place, "record")
		change(&opt)
		goroutines := runtime.NumGoroutine()
		if _, err := New(t.Context(), opt); err == nil {
			t.Errorf("%s: it started", what)
		} else if strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: more than one sentence: %v", what, err)
		}
		if n := runtime.NumGoroutine(); n > goroutines {
			t.Errorf("%s: %d goroutines left", what, n-goroutines)
		}
		left, err := os.ReadDir(place)
		if err != nil || len(left) != 1 {
			t.Errorf("%s: %v is left, want the file alone (%v)", what, left, err)
		}
	}
}

func TestOptionsThatAreMissingAreNamed(t *testing.T) {
	_, err := New(t.Context(), Options{})
	for _, field := range []string{"Site", "Source", "Barometer", "RecordDir", "Listen", "Every", "Clock", "Logger"} {
		if err == nil || !strings.Contains(err.Error(), "option "+field+" is missing") {
			t.Errorf("got %v, want %s named", err, field)
		}
	}
}
