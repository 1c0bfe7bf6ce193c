package push

import (
	"crypto/sha256"
	"encoding/base64"
	"time"

	webpush "github.com/SherClockHolmes/webpush-go"

	"bainward/daemon/phone/notice"
	"bainward/rules/alarm"
)

// keepFor is how long the push service keeps a message for a phone that is off
// (RFC 8030, 5.2). An alarm is said again and again while it stands, and after
// an hour the pan is another. What says that all is over must be kept as long,
// or the alarm it replaces would come alone.
func keepFor(k notice.Kind) time.Duration {
	switch k {
	case notice.Proof: // whoever asked for it is looking at the phone
		return 5 * time.Minute
	case notice.Watcher: // nobody watches until somebody looks
		return 12 * time.Hour
	default:
		return time.Hour
	}
}

// urgency says which battery is spent on it (RFC 8030, 5.3: "high" is for a
// time-sensitive alert, "normal" for a chat). A phone at rest may hold back a
// normal message for long, so of the alarms only the low ones are normal. A
// proof must go the way that alarms go.
func urgency(n notice.Notice) webpush.Urgency {
	switch {
	case n.Quiet:
		return webpush.UrgencyLow
	case n.Kind == notice.Proof, n.Kind == notice.Watcher:
		return webpush.UrgencyHigh
	case n.Kind == notice.Over, n.Priority == alarm.Low:
		return webpush.UrgencyNormal
	default:
		return webpush.UrgencyHigh
	}
}

// topic lets a newer message of a call take the place of an older one that
// still waits: at most 32 characters of base64url (RFC 8030, 5.4). The push
// service reads it, so it is a hash. What belongs to no call replaces nothing.
func topic(call string) string {
	if call == "" {
		return ""
	}
	sum := sha256.Sum256([]byte(call))
	return base64.RawURLEncoding.EncodeToString(sum[:24])
}
