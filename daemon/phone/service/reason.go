package service

import (
	"errors"
	"fmt"
	"net/http"
	"regexp"
	"strconv"
	"strings"

	"bainward/daemon/phone/notice"

	"github.com/nicholas-fedor/shoutrrr/pkg/util/jsonclient"
)

// reason puts an error of the library into our own words. Its text holds
// addresses, tokens in other spellings (decoded, or with other separators than
// in the address) and whatever the far end echoes, so none of it is passed on,
// not even cleaned: what is not there cannot leak.
func (c *Channel) reason(err error) error {
	status, known := statusOf(err, c.url)
	if !known {
		return fmt.Errorf("send by %s: %s", c.kind, trouble(err))
	}
	said := strings.TrimSpace(fmt.Sprintf("%d %s", status, http.StatusText(status)))
	if advice, final := verdict(status); final {
		return &notice.Failure{Err: fmt.Errorf("send by %s: it answered %s: %s", c.kind, said, advice), Final: true}
	}
	return &notice.Failure{Err: fmt.Errorf("send by %s: it answered %s", c.kind, said)}
}

// verdict says whether a client error is final, and what to do then. Of the 4xx
// only "request timeout", "too early" and "too many requests" (RFC 9110 15.5.9,
// RFC 8470 5.2, RFC 6585 4) ask for another try.
func verdict(status int) (advice string, final bool) {
	switch status {
	case http.StatusRequestTimeout, http.StatusTooEarly, http.StatusTooManyRequests:
		return "", false
	case http.StatusUnauthorized, http.StatusForbidden:
		return "check the token in the address", true
	}
	return "check the address", status < http.StatusInternalServerError
}

// statusAfter finds an HTTP status of failure in the library's sentences: "500
// Internal Server Error", "HTTP 429", "status code: 404", "failed: 503", and in
// brackets as of gotify (401) and ntfy (42901: the status and a running number).
var statusAfter = regexp.MustCompile(`(?:(?i:status|code|http|failed)[": ]+|\()([45]\d\d)(?:\b|\d\d\b)|\b([45]\d\d) [A-Z]`)

// statusOf returns the HTTP status that err tells of.
func statusOf(err error, address notice.Secret) (status int, known bool) {
	if e, ok := errors.AsType[jsonclient.Error](err); ok {
		return e.StatusCode, e.StatusCode >= http.StatusBadRequest
	}
	if e, ok := errors.AsType[*answered](err); ok {
		return e.status, true
	}
	found := statusAfter.FindStringSubmatch(notice.Clean(err.Error(), address)) // a token is no status
	if found == nil {
		return 0, false
	}
	status, err = strconv.Atoi(found[1] + found[2])
	return status, err == nil
}

// troubles are marks in errors of Go's net, tls and http packages, and what they
// mean to a person. The chain of causes is often flattened by the library, so
// that only the text is left to look at.
var troubles = []struct{ mark, words string }{
	{"connection refused", "nothing listens at its address: is the service down?"},
	{"no such host", "its host name is not known: check the address and the network"},
	{"server misbehaving", "its host name is not known: check the address and the network"},
	{"x509:", "its TLS certificate is not trusted"},
	{"HTTP response to HTTPS", "it speaks no TLS: check the address"},
	{"tls:", "the TLS handshake failed"},
	{"unreachable", "no way to it: check the network"},
	{"no route", "no way to it: check the network"},
	{"imeout", "no answer in time"},
	{"deadline exceeded", "no answer in time"},
	{"timed out", "no answer in time"},
	{"EOF", "it hung up"},
	{"connection reset", "it hung up"},
	{"broken pipe", "it hung up"},
}

func trouble(err error) string {
	if errors.Is(err, errPanic) {
		return "the library broke off: check the network and the address"
	}
	said := err.Error()
	for _, t := range troubles {
		if strings.Contains(said, t.mark) {
			return t.words
		}
	}
	return "it refused, or answered what is not understood"
}
