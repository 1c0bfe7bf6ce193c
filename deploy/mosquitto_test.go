package deploy_test

import (
	"net"
	"os/exec"
	"os/user"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// A real Mosquitto, with the example's lines and another port and password
// file, lets the account in and nobody else.
func TestMosquittoLetsOnlyTheAccountIn(t *testing.T) {
	broker := needs(t, debianPath("mosquitto"), "mosquitto")
	passwd := needs(t, "mosquitto_passwd", "mosquitto")
	pub := needs(t, "mosquitto_pub", "mosquitto-clients")
	dir := t.TempDir()
	passwords := filepath.Join(dir, "passwords")
	if out, err := exec.Command(passwd, "-b", "-c", passwords, "bainward", "s3cret").CombinedOutput(); err != nil {
		t.Fatalf("mosquitto_passwd: %v\n%s", err, out)
	}
	port := freePort(t)
	text := read(t, "mosquitto.conf")
	for old, other := range map[string]string{
		"\nlistener 1883 127.0.0.1\n":                      "\nlistener " + port + " 127.0.0.1\n",
		"\npassword_file /etc/mosquitto/bainward.passwd\n": "\npassword_file " + passwords + "\n",
	} {
		if !strings.Contains(text, old) {
			t.Fatalf("mosquitto.conf does not hold %q", strings.TrimSpace(old))
		}
		text = strings.Replace(text, old, other, 1)
	}
	if me, err := user.Current(); err == nil {
		text += "user " + me.Username + "\n" // started by root, it would not read the folder
	}
	config := filepath.Join(dir, "mosquitto.conf")
	write(t, config, text)
	cmd := exec.Command(broker, "-c", config)
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	defer func() { _ = cmd.Process.Kill(); _ = cmd.Wait() }()
	awaitPort(t, port)

	say := func(account ...string) error {
		args := append([]string{"-h", "127.0.0.1", "-p", port, "-t", "bainward/x", "-m", "x", "-q", "1"}, account...)
		return exec.Command(pub, args...).Run()
	}
	if err := say("-u", "bainward", "-P", "s3cret"); err != nil {
		t.Errorf("the account is kept out: %v", err)
	}
	if say() == nil || say("-u", "bainward", "-P", "wrong") == nil {
		t.Error("somebody without the account got in")
	}
}

// debianPath finds programs that lie outside the PATH of most people.
func debianPath(program string) string {
	if path, err := exec.LookPath("/usr/sbin/" + program); err == nil {
		return path
	}
	return program
}

func freePort(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	_, port, err := net.SplitHostPort(l.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	return port
}

func awaitPort(t *testing.T, port string) {
	t.Helper()
	late := time.After(20 * time.Second)
	again := time.NewTicker(10 * time.Millisecond)
	defer again.Stop()
	for {
		if c, err := net.Dial("tcp", "127.0.0.1:"+port); err == nil {
			c.Close()
			return
		}
		select {
		case <-again.C:
		case <-late:
			t.Fatal("mosquitto does not listen")
		}
	}
}
