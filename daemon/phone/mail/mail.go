package mail

import (
	"context"
	"crypto/tls"
	"fmt"
	"net"
	"net/mail"
	"strconv"
	"strings"
	"time"

	"bainward/daemon/phone/notice"
)

// Settings say where mail goes. They are what the site file has.
type Settings struct {
	Name     string
	Host     string
	Port     int    // 0: the usual one for TLS
	TLS      string // "starttls", "tls" or "none"; empty: "starttls"
	User     string // empty: no login
	Password notice.Secret
	From, To string // RFC 5322 addresses
	Picture  bool   // attach the notice's picture
}

// Channel hands mail to one server, for one address. It is safe for concurrent
// use.
type Channel struct {
	name     string
	host     string
	port     string
	security security
	user     string
	password notice.Secret
	from, to *mail.Address
	picture  bool

	roots *tls.Config // whom to trust; nil: whom the machine trusts
	now   func() time.Time
}

// security is how the connection is kept private.
type security uint8

const (
	startTLS security = iota // RFC 3207, port 587 (RFC 6409 3.1)
	implicit                 // from the first byte on, port 465 (RFC 8314 3.3)
	plain                    // not at all, port 25 (RFC 5321)
)

var securities = map[string]struct {
	security security
	port     int
}{"": {startTLS, 587}, "starttls": {startTLS, 587}, "tls": {implicit, 465}, "none": {plain, 25}}

// New makes a channel. It asks nobody over the network.
func New(s Settings) (*Channel, error) {
	fail := func(format string, a ...any) (*Channel, error) {
		return nil, fmt.Errorf("mail channel %q: "+format, append([]any{s.Name}, a...)...)
	}
	kept, ok := securities[s.TLS]
	switch {
	case !ok:
		return fail("tls is %q: choose \"starttls\", \"tls\" or \"none\"", s.TLS)
	case s.Host == "":
		return fail("host is missing: name the server that takes your mail")
	case s.Port < 0 || s.Port > 65535:
		return fail("port is %d: choose one from 1 to 65535", s.Port)
	case (s.User != "") != s.Password.Set():
		return fail("a login needs user, and password_file or password_env: set both or neither")
	case s.User != "" && kept.security == plain && !loopback(s.Host):
		return fail("the password would travel in the clear: choose tls = \"starttls\" or \"tls\"")
	}
	from, err := address(s.From)
	if err != nil {
		return fail("read from: %w", err)
	}
	to, err := address(s.To)
	if err != nil {
		return fail("read to: %w", err)
	}
	if s.Port == 0 {
		s.Port = kept.port
	}
	return &Channel{
		name: s.Name, host: s.Host, port: strconv.Itoa(s.Port), security: kept.security,
		user: s.User, password: s.Password, from: from, to: to, picture: s.Picture,
		now: time.Now,
	}, nil
}

// specials would need quotes within an address (RFC 5322 3.2.3). Nobody has such
// an address, and none of them shall break out of the brackets of SMTP.
const specials = `()<>[]:;,\"`

// address reads one address. What is not ASCII before or after the at-sign would
// need SMTPUTF8 (RFC 6531) all the way to the reader.
func address(s string) (*mail.Address, error) {
	a, err := mail.ParseAddress(s)
	if err != nil {
		return nil, fmt.Errorf("%q is no mail address, like robin@example.org: %w", s, err)
	}
	strange := func(r rune) bool { return r <= ' ' || r > '~' || strings.ContainsRune(specials, r) }
	if strings.ContainsFunc(a.Address, strange) || strings.Count(a.Address, "@") != 1 {
		return nil, fmt.Errorf("address %q has a character that an address cannot have: only the name before it may", s)
	}
	return a, nil
}

// loopback reports whether host is this machine, as net/smtp sees it too.
func loopback(host string) bool {
	return host == "localhost" || host == "127.0.0.1" || host == "::1"
}

// Name is the channel's name in the site file.
func (c *Channel) Name() string { return c.name }

// longest is how long one mail may take, even if nobody set an end. The waits of
// RFC 5321 4.5.3.2 (5 to 10 min a step) are for relays, not for alarms.
const longest = 2 * time.Minute

// Send hands the mail to the server and returns what it said.
func (c *Channel) Send(ctx context.Context, n notice.Notice) (answer string, err error) {
	ctx, cancel := context.WithTimeout(ctx, longest)
	defer cancel()
	var png []byte
	if c.picture {
		png = n.Draw(ctx)
	}
	body, err := c.compose(n, png)
	if err != nil {
		return "", fmt.Errorf("write mail: %w", err)
	}
	s, err := c.call(ctx)
	if err != nil {
		return "", err
	}
	defer s.close()
	return s.deliver(body)
}

func (c *Channel) server() string { return net.JoinHostPort(c.host, c.port) }
