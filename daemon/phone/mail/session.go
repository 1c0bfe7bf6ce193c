package mail

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"net/smtp"
	"strings"
	"time"
)

// session is one talk with the server. It ends with its context: then the
// connection is closed under it, whatever it waits for.
type session struct {
	channel *Channel
	ctx     context.Context
	conn    net.Conn
	smtp    *smtp.Client
	free    func() bool // the context no longer closes the connection
	step    string      // what is being done, for the error
}

// talkative is how much a server may say in one talk. Some hundred bytes are
// usual; without a limit a mad server could fill the memory.
const talkative = 64 << 10

// limited is a connection that reads so much and no more.
type limited struct {
	net.Conn
	left int64
}

var errTalkative = errors.New("the server does not stop talking")

func (l *limited) Read(p []byte) (int, error) {
	if l.left <= 0 {
		return 0, errTalkative
	}
	n, err := l.Conn.Read(p[:min(int64(len(p)), l.left)])
	l.left -= int64(n)
	return n, err
}

// call connects, greets, makes the connection private and logs in.
func (c *Channel) call(ctx context.Context) (*session, error) {
	s := &session{channel: c, ctx: ctx, step: "connect"}
	conn, err := new(net.Dialer).DialContext(ctx, "tcp", c.server())
	if err != nil {
		return nil, s.failed(err)
	}
	s.conn = &limited{conn, talkative}
	s.free = context.AfterFunc(ctx, func() { _ = conn.Close() })
	for _, step := range []struct {
		name string
		do   func() error
	}{{"greeting", s.greet}, {"starttls", s.secure}, {"login", s.login}} {
		s.step = step.name
		if err := step.do(); err != nil {
			err = s.failed(err)
			s.close()
			return nil, err
		}
	}
	return s, nil
}

func (s *session) greet() (err error) {
	conn := s.conn
	if s.channel.security == implicit {
		conn = tls.Client(s.conn, s.channel.trust())
	}
	if s.smtp, err = smtp.NewClient(conn, s.channel.host); err != nil {
		return err
	}
	return s.smtp.Hello(literal(s.conn.LocalAddr()))
}

// literal names this machine by its address (RFC 5321 4.1.3): it seldom has a
// name that the server could look up, and its own name is nobody's business.
func literal(a net.Addr) string {
	host, _, err := net.SplitHostPort(a.String())
	if err != nil {
		return "localhost"
	}
	host, _, _ = strings.Cut(host, "%")
	if strings.Contains(host, ":") {
		return "[IPv6:" + host + "]"
	}
	return "[" + host + "]"
}

var errNoTLS = errors.New(`the server does not offer it: check host and port, or choose tls = "tls"`)

func (s *session) secure() error {
	if s.channel.security != startTLS {
		return nil
	}
	if ok, _ := s.smtp.Extension("STARTTLS"); !ok {
		return errNoTLS
	}
	return s.smtp.StartTLS(s.channel.trust())
}

func (c *Channel) trust() *tls.Config {
	config := &tls.Config{}
	if c.roots != nil {
		config = c.roots.Clone()
	}
	config.ServerName, config.MinVersion = c.host, tls.VersionTLS12
	return config
}

func (s *session) login() error {
	if s.channel.user == "" {
		return nil
	}
	auth, err := s.mechanism()
	if err != nil {
		return err
	}
	return s.smtp.Auth(auth)
}

// deliver hands over one mail and returns the server's last word.
func (s *session) deliver(body []byte) (answer string, err error) {
	for _, step := range []struct {
		name string
		do   func() error
	}{
		{"sender", func() error { return s.smtp.Mail(s.channel.from.Address) }},
		{"recipient", func() error { return s.smtp.Rcpt(s.channel.to.Address) }},
		{"data", func() error { return s.data(body) }},
		{"acceptance", func() error {
			code, text, err := s.smtp.Text.ReadResponse(250)
			answer = fmt.Sprintf("%d %s", code, text)
			return err
		}},
	} {
		s.step = step.name
		if err := step.do(); err != nil {
			return "", s.failed(err)
		}
	}
	s.bye()
	return s.channel.clean(answer), nil
}

// data does what smtp.Client.Data does, which throws the server's last word away:
// it holds the number by which the postmaster finds the mail.
func (s *session) data(body []byte) error {
	if err := s.smtp.Text.PrintfLine("DATA"); err != nil { // Cmd would wait for its turn in a pipeline
		return err
	}
	if _, _, err := s.smtp.Text.ReadResponse(354); err != nil {
		return err
	}
	w := s.smtp.Text.DotWriter()
	if _, err := w.Write(body); err != nil {
		return err
	}
	return w.Close()
}

// bye takes leave as RFC 5321 4.1.1.10 wants it, briefly: the mail has been taken,
// and no answer to the farewell changes that.
func (s *session) bye() {
	_ = s.conn.SetDeadline(time.Now().Add(time.Second))
	_ = s.smtp.Quit()
}

func (s *session) close() {
	s.free()
	_ = s.conn.Close()
}
