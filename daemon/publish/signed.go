package publish

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"strings"
	"time"
)

// A signed order is text of three parts, each after a line end:
//
//	HMAC-SHA256, in hexadecimal, of the topic, a line end, and all that follows
//	TIME NONCE NAME
//	ORDER
//
// TIME is RFC 3339 and within a minute of ours, NONCE is 16 to 64 letters and digits
// that were never sent before, NAME is a maker or keeper of the site file, ORDER is
// what ParseOrder reads. The topic is signed too, so that an order for one bath is
// none for another. From a shell:
//
//	topic=bainward/alder-yard/north/do
//	body="$(date -u +%Y-%m-%dT%H:%M:%SZ) $(openssl rand -hex 16) Robin
//	top-up 500 ml"
//	mac=$(printf '%s\n%s' "$topic" "$body" | openssl dgst -sha256 -hmac "$(cat KEYFILE)" -r | cut -d' ' -f1)
//	printf '%s\n%s' "$mac" "$body" | mosquitto_pub -q 1 -t "$topic" -s

const (
	// signedFor is how far the time of an order may be from ours, either way: a
	// second or two of travel, and two clocks that are set by the network.
	signedFor = time.Minute
	// leastKey is the least length of the key, bytes; daemon/site asks for the same.
	leastKey              = 16
	leastNonce, mostNonce = 16, 64
	noncesKept            = 1024 // more orders than a workshop gives in two minutes
	macText               = 2 * sha256.Size
	errNotSigned          = "order: not signed: want HMAC-SHA256, then TIME NONCE NAME, then the order, each on a line (daemon/publish/doc.go)"
)

// seals opens signed orders. It belongs to the one goroutine that carries out
// orders.
type seals struct {
	keyFile string
	may     func(who string) error
	began   time.Time // no older order counts: nonces of before are not known

	used map[string]time.Time // until when a nonce is kept
}

func newSeals(keyFile string, may func(who string) error) *seals {
	return &seals{keyFile: keyFile, may: may, began: time.Now(), used: map[string]time.Time{}}
}

// signedOrder is what a signature stood under.
type signedOrder struct {
	at         time.Time
	nonce, who string
	text       string
}

// open returns who gave an order that came to topic, and the order itself.
func (s *seals) open(topic, payload string, now time.Time) (who, order string, err error) {
	key, err := readKey(s.keyFile)
	if err != nil {
		return "", "", err
	}
	mac, signed, found := strings.Cut(payload, "\n")
	given, err := hex.DecodeString(strings.ToLower(mac))
	if !found || err != nil || len(mac) != macText {
		return "", "", errors.New(errNotSigned)
	}
	if !hmac.Equal(given, macOf(key, topic, signed)) {
		return "", "", errors.New("order: the signature does not fit: look at the key, the topic and the line ends")
	}
	o, err := parseSigned(signed)
	if err != nil {
		return "", "", err
	}
	if err := s.timely(o, now); err != nil {
		return "", "", err
	}
	if err := s.once(o, now); err != nil {
		return "", "", err
	}
	if err := s.may(o.who); err != nil {
		return "", "", fmt.Errorf("order: %w", err)
	}
	return o.who, o.text, nil
}

// macOf is the signature of an order (RFC 2104).
func macOf(key []byte, topic, signed string) []byte {
	mac := hmac.New(sha256.New, key)
	mac.Write([]byte(topic + "\n" + signed))
	return mac.Sum(nil)
}

func readKey(file string) ([]byte, error) {
	text, err := os.ReadFile(file)
	if err != nil {
		return nil, fmt.Errorf("read the key of signed orders: %w", err)
	}
	key := strings.TrimRight(string(text), "\r\n")
	if len(key) < leastKey {
		return nil, fmt.Errorf("read the key of signed orders: %s holds less than %d bytes", file, leastKey)
	}
	return []byte(key), nil
}

func parseSigned(text string) (signedOrder, error) {
	head, order, found := strings.Cut(text, "\n")
	at, rest, _ := strings.Cut(head, " ")
	nonce, who, named := strings.Cut(rest, " ")
	if !found || !named {
		return signedOrder{}, errors.New(errNotSigned)
	}
	when, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return signedOrder{}, fmt.Errorf("order: time %q is not as RFC 3339 writes it, such as 2026-03-01T09:41:10Z", at)
	}
	unfit := func(r rune) bool { return (r < '0' || r > '9') && (r < 'a' || r > 'z') && (r < 'A' || r > 'Z') }
	if len(nonce) < leastNonce || len(nonce) > mostNonce || strings.ContainsFunc(nonce, unfit) {
		return signedOrder{}, fmt.Errorf("order: nonce %q: want %d to %d letters and digits, new each time", nonce, leastNonce, mostNonce)
	}
	return signedOrder{at: when, nonce: nonce, who: strings.TrimSpace(who), text: order}, nil
}

// timely refuses an order that was signed too long ago, ahead of our clock, or
// before this daemon could know which were carried out.
func (s *seals) timely(o signedOrder, now time.Time) error {
	says := now.UTC().Format(time.RFC3339)
	switch off := now.Sub(o.at); {
	case off > signedFor:
		return fmt.Errorf("order: signed %s ago, at %s; the clock here says %s: sign it anew, and see that both clocks are right", off.Round(time.Second), o.at.UTC().Format(time.RFC3339), says)
	case off < -signedFor:
		return fmt.Errorf("order: signed %s ahead of the clock here, which says %s: see that both clocks are right", (-off).Round(time.Second), says)
	case o.at.Before(s.began):
		return errors.New("order: signed before this daemon started: sign it anew")
	}
	return nil
}

// once refuses an order that came before.
func (s *seals) once(o signedOrder, now time.Time) error {
	for nonce, until := range s.used {
		if now.After(until) {
			delete(s.used, nonce)
		}
	}
	if _, came := s.used[o.nonce]; came {
		return errors.New("order: it came before; each is carried out once")
	}
	if len(s.used) >= noncesKept {
		return errors.New("order: too many came within two minutes; wait, and sign it anew")
	}
	s.used[o.nonce] = o.at.Add(signedFor)
	return nil
}

// orderIn is the order of a signed one, for answers and the log; or all of it if it
// is not signed.
func orderIn(payload string) string {
	if parts := strings.SplitN(payload, "\n", 3); len(parts) == 3 && len(parts[0]) == macText {
		return parts[2]
	}
	return payload
}
