package mail

import (
	"errors"
	"net/smtp"
	"slices"
	"strings"
)

var errNoLogin = errors.New("the server offers neither PLAIN nor LOGIN here: check port and tls")

// mechanism chooses how to log in: PLAIN (RFC 4616), or LOGIN where a server has
// only that. Both show the password to the server, so both want TLS; New has seen
// to it, and both look again.
func (s *session) mechanism() (smtp.Auth, error) {
	c := s.channel
	_, offered := s.smtp.Extension("AUTH")
	offers := strings.Fields(strings.ToUpper(offered))
	switch {
	case slices.Contains(offers, "PLAIN"):
		return smtp.PlainAuth("", c.user, c.password.Reveal(), c.host), nil
	case slices.Contains(offers, "LOGIN"):
		return &login{user: c.user, password: c.password.Reveal(), host: c.host}, nil
	}
	return nil, errNoLogin
}

// login is the mechanism LOGIN, which no standard describes (an expired draft,
// draft-murchison-sasl-login, does): the server asks twice, for the name and for
// the password, in words of its own.
type login struct {
	user, password, host string
	asked                int
}

var (
	errClear = errors.New("the connection is not encrypted")
	errAsks  = errors.New("the server asks for more than name and password")
)

// Start says that a login begins.
func (l *login) Start(server *smtp.ServerInfo) (string, []byte, error) {
	if !server.TLS && !loopback(server.Name) || server.Name != l.host {
		return "", nil, errClear
	}
	return "LOGIN", nil, nil
}

// Next answers what the server asks.
func (l *login) Next(_ []byte, more bool) ([]byte, error) {
	if !more {
		return nil, nil
	}
	l.asked++
	switch l.asked {
	case 1:
		return []byte(l.user), nil
	case 2:
		return []byte(l.password), nil
	}
	return nil, errAsks
}
