package webhook

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"strconv"
	"strings"
	"syscall"
	"time"

	"bainward/daemon/phone/notice"
)

// verdict says what the status of an answer means. The reason phrase is ours, not
// the receiver's.
func (c *Channel) verdict(res *http.Response) (answer string, err error) {
	said := strings.TrimSpace(fmt.Sprintf("%d %s", res.StatusCode, http.StatusText(res.StatusCode)))
	if res.StatusCode/100 == 2 {
		return said, nil
	}
	f := &notice.Failure{Err: fmt.Errorf("post to webhook: it answered %s", said)}
	if advice := finally(res.StatusCode); advice != "" {
		f.Err, f.Final = fmt.Errorf("%w: %s", f.Err, advice), true
	} else {
		f.After = retryAfter(res.Header, c.now())
	}
	return "", f
}

// finally is what to do about an answer that will not change, or empty if another
// try makes sense: of the 4xx only after "request timeout", "too early" and "too
// many requests" (RFC 9110 15.5.9, RFC 8470 5.2, RFC 6585 4); of the redirects
// after those that are meant for now (a hotel's network answers so, too).
func finally(status int) (advice string) {
	switch status {
	case http.StatusRequestTimeout, http.StatusTooEarly, http.StatusTooManyRequests:
		return ""
	case http.StatusMovedPermanently, http.StatusPermanentRedirect:
		return "redirects are not followed: correct the address"
	case http.StatusUnauthorized, http.StatusForbidden:
		return "check key, address and the clocks"
	}
	if status/100 == 4 {
		return "check the address and the receiver"
	}
	return ""
}

// longestWait is the longest wait that is taken over from a receiver. Who asks for
// more cannot know when it will be back.
const longestWait = time.Hour

// retryAfter reads the field Retry-After (RFC 9110 10.2.3): seconds, or a date,
// which counts from the receiver's own clock if it told it: ours may be wrong.
func retryAfter(h http.Header, now time.Time) time.Duration {
	v := h.Get("Retry-After")
	if seconds, err := strconv.ParseUint(v, 10, 64); err == nil {
		return time.Duration(min(seconds, uint64(longestWait/time.Second))) * time.Second
	}
	at, err := http.ParseTime(v)
	if err != nil {
		return 0
	}
	if theirs, err := http.ParseTime(h.Get("Date")); err == nil {
		now = theirs
	}
	return min(max(at.Sub(now), 0), longestWait)
}

// trouble puts an error of the network into words without address, host and port:
// all of them are parts of the secret address.
func trouble(ctx context.Context, err error) error {
	if ended := ctx.Err(); ended != nil {
		return fmt.Errorf("no answer in time: %w", ended)
	}
	if _, ok := errors.AsType[*net.DNSError](err); ok {
		return errors.New("its host name is not known: check the address and the network")
	}
	if _, ok := errors.AsType[*tls.CertificateVerificationError](err); ok {
		return errors.New("its TLS certificate is not trusted")
	}
	for _, t := range []struct {
		cause error
		words string
	}{
		{syscall.ECONNREFUSED, "nothing listens at its address: is it down?"},
		{syscall.ENETUNREACH, "no way to it: check the network"},
		{syscall.EHOSTUNREACH, "no way to it: check the network"},
		{http.ErrSchemeMismatch, "it speaks no TLS: check the address"},
		{io.EOF, "it hung up"},
		{io.ErrUnexpectedEOF, "it hung up"},
		{syscall.ECONNRESET, "it hung up"},
		{syscall.EPIPE, "it hung up"},
	} {
		if errors.Is(err, t.cause) {
			return errors.New(t.words)
		}
	}
	return errors.New("it cannot be reached, or speaks no HTTP")
}
