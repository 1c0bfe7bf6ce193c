package webhook

import (
	"errors"
	"io"
	"log"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"strings"
	"syscall"
	"testing"
	"time"

	"bainward/daemon/phone/notice"
)

// Each status means what WEBHOOK.md says (RFC 9110 15), Retry-After included, and
// neither address, key nor what the receiver writes come back.
func TestTheStatusSaysWhetherAnotherTryHelps(t *testing.T) {
	for _, c := range []struct {
		status int
		header http.Header
		final  bool
		after  time.Duration
		said   string
	}{
		{408, nil, false, 0, "408 Request Timeout"},
		{425, nil, false, 0, "425 Too Early"},
		{429, http.Header{"Retry-After": {"17"}}, false, 17 * time.Second, "429 Too Many Requests"},
		{500, nil, false, 0, "500 Internal Server Error"},
		{503, http.Header{"Retry-After": {"Sun, 01 Mar 2026 12:00:30 GMT"}, "Date": {""}}, false, 30 * time.Second, "503"},
		{599, nil, false, 0, "599"},
		{302, http.Header{"Location": {"/elsewhere"}}, false, 0, "302 Found"},
		{307, http.Header{"Location": {"/elsewhere"}}, false, 0, "307"},
		{301, http.Header{"Location": {"/elsewhere"}}, true, 0, "redirects are not followed"},
		{308, http.Header{"Location": {"/elsewhere"}}, true, 0, "redirects are not followed"},
		{400, nil, true, 0, "400 Bad Request: check the address and the receiver"},
		{401, nil, true, 0, "401 Unauthorized: check key"},
		{404, http.Header{"Retry-After": {"17"}}, true, 0, "404 Not Found"},
		{410, nil, true, 0, "410 Gone"},
		{413, nil, true, 0, "413"},
	} {
		visits := 0
		s := receiver(t, func(w http.ResponseWriter, r *http.Request) {
			visits++
			for k, v := range c.header {
				if w.Header()[k] = v; v[0] == "" {
					w.Header()[k] = nil // the server shall not say its time
				}
			}
			w.WriteHeader(c.status)
			_, _ = io.WriteString(w, r.URL.String()+key)
		})
		_, err := channel(t, s.URL).Send(t.Context(), dry)
		f, ok := errors.AsType[*notice.Failure](err)
		if !ok || f.Final != c.final || f.After != c.after || !strings.Contains(err.Error(), c.said) {
			t.Errorf("%d: got %+v", c.status, f)
			continue
		}
		if visits != 1 {
			t.Errorf("%d: %d visits", c.status, visits)
		}
		clean(t, err.Error(), s.URL)
	}
}

// Retry-After is read as RFC 9110 10.2.3 has it; its two examples stand here. A date
// counts from the receiver's clock, and no wait is longer than an hour.
func TestRetryAfterIsReadInBothForms(t *testing.T) {
	for _, c := range []struct {
		value, date string
		want        time.Duration
	}{
		{"120", "", 2 * time.Minute},
		{"Fri, 31 Dec 1999 23:59:59 GMT", "Fri, 31 Dec 1999 23:58:59 GMT", time.Minute},
		{"Fri, 31 Dec 1999 23:59:59 GMT", "", 0}, // long past, by our clock
		{"Sun, 01 Mar 2026 12:05:00 GMT", "", 5 * time.Minute},
		{"Sunday, 01-Mar-26 12:05:00 GMT", "nonsense", 5 * time.Minute}, // RFC 9110 5.6.7, obsolete form
		{"Tue, 01 Mar 2126 12:05:00 GMT", "", longestWait},
		{"99999999999999999999999999", "", 0},
		{"9999999999999999999", "", longestWait},
		{"-5", "", 0}, {"1.5", "", 0}, {"soon", "", 0}, {"", "", 0},
	} {
		h := http.Header{"Retry-After": {c.value}, "Date": {c.date}}
		if got := retryAfter(h, noon); got != c.want {
			t.Errorf("%q at %q: %s, not %s", c.value, c.date, got, c.want)
		}
	}
}

// What goes wrong on the way is told in words, without address and port.
func TestTroublesOfTheNetworkAreTold(t *testing.T) {
	quiet := log.New(io.Discard, "", 0)
	gone := httptest.NewServer(nil)
	gone.Close()
	strange := httptest.NewUnstartedServer(nil)
	strange.Config.ErrorLog = quiet
	strange.StartTLS()
	t.Cleanup(strange.Close)
	clear := receiver(t, nil)
	rude := receiver(t, func(http.ResponseWriter, *http.Request) { panic(http.ErrAbortHandler) })
	for host, said := range map[string]string{
		gone.URL:    "nothing listens",
		strange.URL: "certificate is not trusted",
		strings.Replace(clear.URL, "http:", "https:", 1): "it speaks no TLS",
		rude.URL: "it hung up",
	} {
		_, err := channel(t, host).Send(t.Context(), dry)
		f, ok := errors.AsType[*notice.Failure](err)
		if !ok || f.Final || !strings.Contains(err.Error(), said) {
			t.Errorf("%s: got %v", said, err)
			continue
		}
		clean(t, err.Error(), host)
	}
}

// A name that no server knows, and a way that does not exist, are told in words too.
func TestMoreTroublesOfTheNetworkAreTold(t *testing.T) {
	for said, cause := range map[string]error{
		"host name is not known":   &net.DNSError{Err: "no such host", Name: token},
		"no way to it":             &net.OpError{Op: "dial", Err: os.NewSyscallError("connect", syscall.ENETUNREACH)},
		"it cannot be reached, or": errors.New("malformed HTTP response " + token),
	} {
		err := trouble(t.Context(), &url.Error{Op: "Post", URL: token, Err: cause})
		if !strings.Contains(err.Error(), said) {
			t.Errorf("got %v, want %q", err, said)
		}
		clean(t, err.Error(), "")
	}
}
