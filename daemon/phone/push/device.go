package push

import (
	"crypto/ecdh"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"net/netip"
	"net/url"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	webpush "github.com/SherClockHolmes/webpush-go"

	"bainward/daemon/phone/notice"
)

// What a signing-up may hold. Endpoints in use have some 150 to 800 characters
// (common practice, no source).
const (
	maxSubscription = 4096 // octets of JSON
	maxEndpoint     = 2048 // octets
	maxContact      = 64   // characters
	maxName         = 60   // characters
)

// Device is one signed-up phone, as it may be shown.
type Device struct {
	ID      string // short; says nothing of the endpoint
	Contact string // whose it is
	Name    string // what its owner calls it
	Added   time.Time
}

// device is one signed-up phone and how it is reached.
type device struct {
	Device
	endpoint     notice.Secret
	p256dh, auth notice.Secret // base64url: a point of P-256, and 16 octets
}

// Format shows a device as it may be shown: fmt asks no secret that lies in an
// unexported field whether it may be printed.
func (d device) Format(f fmt.State, _ rune) { fmt.Fprintf(f, "%v", d.Device) }

// Refusal is a signing-up that cannot be taken, in words for the person who
// tried. Another error means that the disk failed.
type Refusal struct{ Why string }

func (r *Refusal) Error() string { return r.Why }

func refuse(format string, args ...any) error { return &Refusal{Why: fmt.Sprintf(format, args...)} }

// newDevice checks what a page sent: the JSON of PushSubscription.toJSON()
// (W3C Push API, 8). Members that are not needed are passed over, for browsers
// add their own.
func newDevice(contact, name string, subscription []byte, loopback bool) (device, error) {
	if len(subscription) > maxSubscription {
		return device{}, refuse("subscription has %d octets, at most %d are taken", len(subscription), maxSubscription)
	}
	var s webpush.Subscription
	if err := json.Unmarshal(subscription, &s); err != nil {
		return device{}, refuse("subscription is not what PushSubscription.toJSON() gives")
	}
	d := device{
		Device:   Device{ID: idOf(s.Endpoint), Contact: contact, Name: cleanName(name), Added: time.Now().UTC().Truncate(time.Second)},
		endpoint: notice.NewSecret(s.Endpoint), p256dh: notice.NewSecret(strings.TrimRight(s.Keys.P256dh, "=")),
		auth: notice.NewSecret(strings.TrimRight(s.Keys.Auth, "=")),
	}
	return d, d.check(loopback)
}

func (d device) check(loopback bool) error {
	if d.Contact == "" || utf8.RuneCountInString(d.Contact) > maxContact || strings.ContainsFunc(d.Contact, unicode.IsControl) {
		return refuse("contact must be named, in at most %d characters", maxContact)
	}
	if err := checkEndpoint(d.endpoint.Reveal(), loopback); err != nil {
		return err
	}
	point, err := base64.RawURLEncoding.DecodeString(d.p256dh.Reveal())
	if err == nil {
		_, err = ecdh.P256().NewPublicKey(point)
	}
	if err != nil {
		return refuse("subscription's p256dh is no uncompressed point of P-256 in base64url")
	}
	if auth, err := base64.RawURLEncoding.DecodeString(d.auth.Reveal()); err != nil || len(auth) != 16 {
		return refuse("subscription's auth is not 16 octets in base64url")
	}
	return nil
}

// checkEndpoint refuses what is no push service at first sight. Where a name
// leads is judged at every connection, by the guard.
func checkEndpoint(endpoint string, loopback bool) error {
	u, err := url.Parse(endpoint)
	if err != nil || len(endpoint) > maxEndpoint || u.Hostname() == "" || u.User != nil || u.Fragment != "" {
		return refuse("subscription's endpoint is no address of a push service")
	}
	ip, notIP := netip.ParseAddr(u.Hostname())
	inside := notIP == nil && ip.Unmap().IsLoopback()
	if u.Scheme != "https" && !(u.Scheme == "http" && inside && loopback) {
		return refuse("subscription's endpoint must begin with https")
	}
	if notIP == nil && !reachable(ip, loopback) {
		return refuse("subscription's endpoint lies inside the house; a push service is outside")
	}
	return nil
}

// cleanName makes what its owner calls a phone fit for one line of the record.
func cleanName(name string) string {
	name = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == utf8.RuneError {
			return ' '
		}
		return r
	}, name)
	runes := []rune(strings.Join(strings.Fields(name), " "))
	if len(runes) == 0 {
		return "phone"
	}
	return strings.TrimSpace(string(runes[:min(len(runes), maxName)]))
}

func idOf(endpoint string) string {
	sum := sha256.Sum256([]byte(endpoint))
	return hex.EncodeToString(sum[:5])
}

// subscription is the device as webpush-go wants it.
func (d device) subscription() *webpush.Subscription {
	return &webpush.Subscription{
		Endpoint: d.endpoint.Reveal(),
		Keys:     webpush.Keys{P256dh: d.p256dh.Reveal(), Auth: d.auth.Reveal()},
	}
}
