package mail

import (
	"bufio"
	"crypto/tls"
	"crypto/x509"
	"fmt"
	"net"
	"net/http/httptest"
	"strconv"
	"strings"
	"sync"
	"testing"

	"bainward/daemon/phone/notice"
)

// password is what no answer, error or mail may hold.
const password = "T0PSECRET-7f3a"

// server is a mail server on this machine that keeps to RFC 5321 unless told
// otherwise. The stages of a talk are: connect, EHLO, STARTTLS, tls, AUTH, user,
// password, MAIL, RCPT, DATA, end, QUIT.
type server struct {
	t        *testing.T
	listener net.Listener
	says     map[string]string // what it says at a stage, instead of the usual
	hangs    string            // the stage at which it falls silent
	reached  chan string       // the stage at which it fell silent
	offers   []string          // EHLO keywords
	implicit bool
	tls      *tls.Config
	roots    *x509.CertPool
	done     chan struct{}
	wait     sync.WaitGroup

	mu    sync.Mutex
	heard []string // every line but the mail's
	mail  string
}

// newServer makes a server; it listens from now on, and answers once it has a
// channel. Change it before that.
func newServer(t *testing.T) *server {
	web := httptest.NewTLSServer(nil) // for its certificate of 127.0.0.1 alone
	defer web.Close()
	roots := x509.NewCertPool()
	roots.AddCert(web.Certificate())
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s := &server{
		t: t, listener: l, says: map[string]string{}, reached: make(chan string, 1),
		offers: []string{"STARTTLS", "AUTH PLAIN LOGIN"},
		tls:    &tls.Config{Certificates: web.TLS.Certificates}, roots: roots, done: make(chan struct{}),
	}
	t.Cleanup(func() {
		close(s.done)
		_ = l.Close()
		s.wait.Wait()
	})
	return s
}

func (s *server) accept() {
	for {
		c, err := s.listener.Accept()
		if err != nil {
			return
		}
		s.wait.Go(func() {
			defer func() { _ = c.Close() }()
			(&talk{server: s, conn: c}).run()
		})
	}
}

// settings are a channel's to this server.
func (s *server) settings() Settings {
	_, port, _ := net.SplitHostPort(s.listener.Addr().String())
	number, _ := strconv.Atoi(port)
	return Settings{
		Name: "robin-mail", Host: "127.0.0.1", Port: number, TLS: "starttls",
		User: "yard", Password: notice.NewSecret(password),
		From: "Alder Yard <yard@example.org>", To: "robin@example.org",
	}
}

// channel makes a channel to the server, once, and lets the server answer.
func (s *server) channel(settings Settings) *Channel {
	s.t.Helper()
	s.wait.Go(s.accept)
	c, err := New(settings)
	if err != nil {
		s.t.Fatal(err)
	}
	c.roots = &tls.Config{RootCAs: s.roots}
	return c
}

// log is what the server heard.
func (s *server) log() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return strings.Join(s.heard, "\n")
}

func (s *server) got() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.mail
}

// talk is one connection.
type talk struct {
	*server
	conn net.Conn
	in   *bufio.Reader
}

// say answers at a stage, or falls silent there until the test ends. It reports
// whether the talk goes on.
func (k *talk) say(stage, usual string) bool {
	if k.hangs == stage {
		k.reached <- stage
		<-k.done
		return false
	}
	if other, ok := k.says[stage]; ok {
		usual = other
	}
	if usual == "" {
		return false
	}
	_, err := fmt.Fprint(k.conn, strings.ReplaceAll(usual, "\n", "\r\n")+"\r\n")
	return err == nil && (usual[0] == '2' || usual[0] == '3')
}

func (k *talk) line() (string, bool) {
	l, err := k.in.ReadString('\n')
	if err != nil {
		return "", false
	}
	l = strings.TrimRight(l, "\r\n")
	k.mu.Lock()
	k.heard = append(k.heard, l)
	k.mu.Unlock()
	return l, true
}

func (k *talk) encrypt() bool {
	if k.hangs == "tls" {
		return k.say("tls", "")
	}
	k.conn = tls.Server(k.conn, k.tls)
	k.in = bufio.NewReader(k.conn)
	return true
}

func (k *talk) run() {
	k.in = bufio.NewReader(k.conn)
	if k.implicit && !k.encrypt() {
		return
	}
	for ok := k.say("connect", "220 mail.example ready"); ok; {
		l, more := k.line()
		if !more {
			return
		}
		verb, rest, _ := strings.Cut(l, " ")
		switch verb {
		case "EHLO":
			ok = k.say(verb, "250-mail.example\n250-"+strings.Join(k.offers, "\n250-")+"\n250 SIZE 10000000")
		case "STARTTLS":
			ok = k.say(verb, "220 go on") && k.encrypt()
		case "AUTH":
			ok = k.auth(rest)
		case "DATA":
			ok = k.say(verb, "354 go on") && k.data()
		case "QUIT":
			k.say(verb, "221 bye")
			return
		default: // MAIL, RCPT, and after a refusal RSET
			ok = k.say(verb, "250 fine")
		}
	}
	for { // it refused; a client that abandons a login says "*" and QUIT
		if _, more := k.line(); !more {
			return
		}
		if _, err := fmt.Fprint(k.conn, "503 not now\r\n"); err != nil {
			return
		}
	}
}

func (k *talk) auth(rest string) bool {
	if rest == "LOGIN" {
		for _, ask := range [][2]string{{"user", "334 VXNlcm5hbWU6"}, {"password", "334 UGFzc3dvcmQ6"}} {
			if !k.say(ask[0], ask[1]) {
				return false
			}
			if _, more := k.line(); !more {
				return false
			}
		}
	}
	return k.say("AUTH", "235 welcome")
}

func (k *talk) data() bool {
	var mail strings.Builder
	for {
		l, err := k.in.ReadString('\n')
		if err != nil {
			return false
		}
		if l == ".\r\n" {
			break
		}
		mail.WriteString(strings.TrimPrefix(l, "."))
	}
	k.mu.Lock()
	k.mail = mail.String()
	k.mu.Unlock()
	return k.say("end", "250 2.0.0 queued as 4XyZ7")
}
