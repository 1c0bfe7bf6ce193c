package webhook

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"strings"
)

// The header fields of a delivery. WEBHOOK.md explains them to receivers.
const (
	headerNotice    = "Bainward-Notice"
	headerTimestamp = "Bainward-Timestamp"
	headerSignature = "Bainward-Signature"
)

// sign is the value of the signature's header: the scheme's version, so that
// another one can be put beside it some day, and the code over timestamp, dot and
// body. The timestamp is signed so that an old delivery cannot be sent again as a
// new one.
func sign(key []byte, stamp string, body []byte) string {
	message := append([]byte(stamp+"."), body...)
	return "v1=" + hex.EncodeToString(mac(key, message))
}

// mac is HMAC-SHA-256 (RFC 2104, RFC 6234).
func mac(key, message []byte) []byte {
	h := hmac.New(sha256.New, key)
	_, _ = h.Write(message) // a hash does not fail
	return h.Sum(nil)
}

// headerSafe keeps of an id what may stand in a header. Ours are plain; the body
// has the id as it is.
func headerSafe(id string) string {
	return strings.Map(func(r rune) rune {
		if r > ' ' && r <= '~' {
			return r
		}
		return -1
	}, id)
}
