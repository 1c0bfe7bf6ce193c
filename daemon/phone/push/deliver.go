package push

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	webpush "github.com/SherClockHolmes/webpush-go"

	"bainward/daemon/phone/notice"
)

// deliver hands the message to one phone's push service, within patience. It
// returns nil when that took it, which is not yet the phone.
func (o *Office) deliver(ctx context.Context, d device, n notice.Notice, message []byte) error {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	answer, err := webpush.SendNotificationWithContext(ctx, message, d.subscription(), &webpush.Options{
		HTTPClient: o.client,
		Subscriber: strings.TrimPrefix(o.subject, "mailto:"), // the library puts it there itself
		TTL:        int(keepFor(n.Kind).Seconds()), Urgency: urgency(n), Topic: topic(n.Call),
		VAPIDPublicKey: o.key.public, VAPIDPrivateKey: o.key.secret.Reveal(),
	})
	if err != nil {
		return noAnswer(ctx, err, d)
	}
	defer answer.Body.Close()
	// Read so that the connection can be used again; what it says might quote
	// the endpoint, and is not told.
	_, _ = io.CopyN(io.Discard, answer.Body, 16<<10)
	return judge(answer)
}

// noAnswer says why there was none, without the endpoint.
func noAnswer(ctx context.Context, err error, d device) error {
	if errors.Is(err, errInside) {
		return &notice.Failure{Err: errInside, Final: true}
	}
	if errors.Is(ctx.Err(), context.DeadlineExceeded) {
		return errors.New("the push service did not answer in time")
	}
	if ctx.Err() != nil {
		return errors.New("given up before the push service answered")
	}
	if outer, ok := errors.AsType[*url.Error](err); ok {
		err = outer.Err // the outer one is the endpoint, then this
	}
	return notice.Redact(err, d.endpoint, d.p256dh, d.auth)
}

// errGone is a phone that is signed up no longer (RFC 8030, 7.3).
var errGone = errors.New("gone")

// judge says what the push service's status means (RFC 8030, 5, 7.2, 7.3, 8.4;
// RFC 8292, 4.2).
func judge(answer *http.Response) error {
	status := fmt.Errorf("the push service says %d %s", answer.StatusCode, strings.ToLower(http.StatusText(answer.StatusCode)))
	switch code := answer.StatusCode; {
	case code >= 200 && code < 300:
		return nil
	case code == http.StatusNotFound, code == http.StatusGone:
		return &notice.Failure{Err: errGone, Final: true}
	case code == http.StatusUnauthorized, code == http.StatusForbidden:
		return &notice.Failure{Err: fmt.Errorf("%w: open the page on this phone, it was signed up for another key", status), Final: true}
	case code == http.StatusTooManyRequests, code == http.StatusRequestTimeout, code >= 500:
		return &notice.Failure{Err: status, After: retryAfter(answer.Header.Get("Retry-After"), time.Now())}
	default: // 413, and what another try would not change
		return &notice.Failure{Err: status, Final: true}
	}
}

// longestWait bounds what a push service may ask for: no alarm is worth telling
// later.
const longestWait = time.Hour

// retryAfter reads seconds or a date (RFC 9110, 10.2.3). What it cannot read,
// nobody said.
func retryAfter(text string, now time.Time) time.Duration {
	if seconds, err := strconv.ParseUint(text, 10, 32); err == nil {
		return min(time.Duration(seconds)*time.Second, longestWait)
	}
	if at, err := http.ParseTime(text); err == nil {
		return min(max(at.Sub(now), 0), longestWait)
	}
	return 0
}
