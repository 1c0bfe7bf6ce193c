package alive

import (
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"net/url"
	"time"

	"bainward/daemon/phone/notice"
)

const (
	// DefaultEvery is how often the address is called. Whoever listens should wait
	// for three calls before raising the alarm: one may get lost.
	DefaultEvery = time.Minute
	// callTime is how long one call may take.
	callTime = 10 * time.Second
	// mostRedirects are followed, and within the same host only.
	mostRedirects = 3
)

// Options say whom to tell, and when.
type Options struct {
	URL    notice.Secret // http or https; it works like a password
	Every  time.Duration // default DefaultEvery, at least a second
	Method string        // GET (the default) or POST
	// Well says whether all is well, and if not, why. It must not wait: while it
	// does, nobody is told anything, which whoever listens takes for an alarm.
	Well   func() (ok bool, why string)
	Client *http.Client // its transport is used; default http.DefaultTransport
	Logger *slog.Logger // default slog.Default()
}

// complete checks o and fills in its defaults. No error holds the address.
func (o Options) complete() (Options, error) {
	if o.Every == 0 {
		o.Every = DefaultEvery
	}
	if o.Method == "" {
		o.Method = http.MethodGet
	}
	if o.Logger == nil {
		o.Logger = slog.Default()
	}
	address, err := url.Parse(o.URL.Reveal())
	switch {
	case !o.URL.Set():
		return o, errors.New("URL is missing")
	case err != nil || address.Host == "" || address.Scheme != "http" && address.Scheme != "https":
		return o, errors.New("URL is no address that begins with https:// or http://")
	case o.Every < time.Second:
		return o, fmt.Errorf("beat every %v: Every must be at least 1s", o.Every)
	case o.Method != http.MethodGet && o.Method != http.MethodPost:
		return o, fmt.Errorf("method %q must be GET or POST", o.Method)
	case o.Well == nil:
		return o, errors.New("nobody says whether all is well: Well is missing")
	}
	return o, nil
}

// client makes calls that go nowhere else. What limits their time is the context.
func (o Options) client() *http.Client {
	c := &http.Client{CheckRedirect: sameHost}
	if o.Client != nil {
		c.Transport = o.Client.Transport
	}
	return c
}

// sameHost follows a redirect within one host, and never from https to http: the
// address is a secret, and another host has no business with it.
func sameHost(next *http.Request, before []*http.Request) error {
	first := before[0].URL
	switch {
	case len(before) > mostRedirects:
		return fmt.Errorf("more than %d redirects", mostRedirects)
	case next.URL.Host != first.Host:
		return errors.New("it redirects to another host, which is not followed: put the final address into the site file's secret")
	case next.URL.Scheme != first.Scheme && next.URL.Scheme != "https":
		return errors.New("it redirects from https to http, which is not followed")
	}
	return nil
}
