package publish

import (
	"context"
	"crypto/sha256"
	"crypto/tls"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/url"
	"os"
	"strings"
	"time"
)

// Options says where to publish and what about.
type Options struct {
	// URL is mqtt://host:port or mqtts://host:port; the ports default to 1883
	// and 8883. It holds no account: see Username.
	URL          string
	Username     string
	PasswordFile string // holds the password and nothing else; read at each connection
	Prefix       string // of every topic; default DefaultPrefix
	Site         string // the site's name for people; topics hold its Level
	// ClientID is the name at the broker. The default follows from prefix and
	// site and stays the same over restarts, so that the broker ends a half-open
	// connection of before, and its last will, ahead of the new one.
	ClientID string
	// TLS, for mqtts, is the default configuration if nil: the system's roots.
	TLS    *tls.Config
	Logger *slog.Logger // default slog.Default()

	// AllowCommands lets anybody who may write to the broker act on the baths.
	AllowCommands bool
	// OrdersKeyFile holds the key with which orders must be signed (signed.go); it
	// is read at each order. Empty: they need not be. MayOrder says why somebody who
	// signed may not; it is needed with a key.
	OrdersKeyFile string
	MayOrder      func(who string) error
	// OnCommand does what an order asks for, and returns an error that is shown
	// to whoever gave it. It is called by one goroutine, one order at a time.
	OnCommand func(ctx context.Context, c Command) error

	// Siblings are other sites at the same broker whose status is watched, and
	// OnSibling is told of each word of theirs: "online", or "offline", which may be
	// a last will. It must not wait for anything.
	Siblings  []string
	OnSibling func(site, status string)
	// OnCheckpoint is told of what a sibling says of its record, OnCosigned of a
	// checkpoint of this site that a sibling signed too. Both or neither; they must
	// not wait for anything.
	OnCheckpoint, OnCosigned func(site string, document []byte)

	// OnDrop, if set, is told of every n messages that are given up. It must not
	// wait for anything.
	OnDrop func(n int)

	// Limit is how many changes and answers wait at most; default 1024.
	Limit int
	// Retry is the first wait between attempts to connect, doubled at each
	// failure up to a minute; default one second.
	Retry time.Duration
}

// DefaultPrefix begins every topic unless Options name another.
const DefaultPrefix = "bainward"

const (
	defaultLimit = 1024
	defaultRetry = time.Second
	longestRetry = time.Minute
)

// complete checks o and fills in its defaults.
func (o Options) complete() (Options, *url.URL, error) {
	broker, err := parseURL(o.URL)
	if err != nil {
		return o, nil, err
	}
	if o.Prefix == "" {
		o.Prefix = DefaultPrefix
	}
	if Level(o.Site) == "" {
		return o, nil, fmt.Errorf("site name %q has no letter or digit to make a topic of", o.Site)
	}
	if err := CheckTopic(topicsOf(o).of("bath", "alarm/x")); err != nil {
		return o, nil, fmt.Errorf("prefix %q: %w", o.Prefix, err)
	}
	if (o.Username == "") != (o.PasswordFile == "") {
		return o, nil, errors.New("half an account: give both Username and PasswordFile, or neither")
	}
	if o.AllowCommands && o.OnCommand == nil {
		return o, nil, errors.New("orders are allowed (AllowCommands) and nobody carries them out: OnCommand is missing")
	}
	if o.OrdersKeyFile != "" && o.MayOrder == nil {
		return o, nil, errors.New("orders must be signed (OrdersKeyFile) and nobody says who may give them: MayOrder is missing")
	}
	if err := o.checkSiblings(); err != nil {
		return o, nil, err
	}
	if o.ClientID == "" {
		o.ClientID = clientID(topicsOf(o).root)
	}
	if o.Logger == nil {
		o.Logger = slog.Default()
	}
	if o.OnDrop == nil {
		o.OnDrop = func(int) {}
	}
	if o.Limit <= 0 {
		o.Limit = defaultLimit
	}
	if o.Retry <= 0 {
		o.Retry = defaultRetry
	}
	return o, broker, nil
}

func topicsOf(o Options) topics { return topics{root: o.Prefix + "/" + Level(o.Site)} }

// clientID names the client in 23 characters of 0-9a-zA-Z: what every broker
// must accept [MQTT-3.1.3-5].
func clientID(root string) string {
	return fmt.Sprintf("bainward%x", sha256.Sum256([]byte(root)))[:23]
}

// parseURL reads the broker's address and gives it the port of its scheme
// (IANA: mqtt 1883, secure-mqtt 8883).
func parseURL(text string) (*url.URL, error) {
	u, err := url.Parse(text)
	if err != nil {
		return nil, fmt.Errorf("broker URL %q: want mqtt://host:port or mqtts://host:port", text)
	}
	port, known := map[string]string{"mqtt": "1883", "mqtts": "8883"}[u.Scheme]
	switch {
	case !known || u.Hostname() == "":
		return nil, fmt.Errorf("broker URL %q: want mqtt://host:port or mqtts://host:port", u.Redacted())
	case u.User != nil:
		return nil, fmt.Errorf("broker URL %q: holds an account; give it as Username and PasswordFile", u.Redacted())
	case strings.Trim(u.Path, "/") != "" || u.RawQuery != "" || u.Fragment != "":
		return nil, fmt.Errorf("broker URL %q: must end after the port", u.Redacted())
	}
	if u.Port() == "" {
		u.Host = net.JoinHostPort(u.Hostname(), port)
	}
	return u, nil
}

// readPassword reads a password file: its content without the line end.
func readPassword(file string) (string, error) {
	text, err := os.ReadFile(file)
	if err != nil {
		return "", fmt.Errorf("read the broker's password: %w", err)
	}
	password := strings.TrimRight(string(text), "\r\n")
	if password == "" {
		return "", fmt.Errorf("read the broker's password: %q is empty", file)
	}
	return password, nil
}
