package service

import (
	"context"
	"errors"
	"io"
	"log"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"bainward/daemon/phone/notice"
)

// Whatever goes wrong far away, the error says what, never where or with which
// token, and whether another try can help.
func TestErrorsTellTheStoryAndNoSecret(t *testing.T) {
	echo := `{"error":"bad ` + token + `","errorDescription":"` + token + `"}`
	faults := []struct {
		name   string
		answer http.HandlerFunc
		said   []string // one of them
		final  bool
	}{
		{"500", answers(500, echo), []string{"500 Internal Server Error", "refused"}, false},
		{"502 page", answers(502, "<html>"+token), []string{"502 Bad Gateway"}, false},
		{"429", answers(429, "slow down "+token), []string{"429 Too Many Requests"}, false},
		{"401", answers(401, "who is "+token), []string{"401 Unauthorized: check the token"}, true},
		{"404", answers(404, "no "+token), []string{"404 Not Found: check the address"}, true},
		{"hang-up", hangUp, []string{"it hung up"}, false},
	}
	for name, form := range local {
		for _, fault := range faults {
			t.Run(name+"/"+fault.name, func(t *testing.T) {
				f := newFarEnd(t, fault.answer)
				c := channel(t, f.address(form))
				var err error
				heard := overhear(t, func() { _, err = c.Send(t.Context(), dry) })
				check(t, err, fault.said, fault.final)
				clean(t, err.Error(), f.host())
				if heard != "" {
					t.Errorf("said aloud: %q", heard)
				}
			})
		}
	}
}

func hangUp(http.ResponseWriter, *http.Request) { panic(http.ErrAbortHandler) }

func check(t *testing.T, err error, said []string, final bool) {
	t.Helper()
	if err == nil {
		t.Fatal("a failure passed for a success")
	}
	f, ok := errors.AsType[*notice.Failure](err)
	if got := ok && f.Final; got != final {
		t.Errorf("final is %t, not %t: %v", got, final, err)
	}
	for _, s := range said {
		if strings.Contains(err.Error(), s) {
			return
		}
	}
	t.Errorf("%q says none of %q", err, said)
}

// A port where nothing listens, and a service whose certificate nobody vouches
// for, are told in words.
func TestTroublesOfTheNetworkAreTold(t *testing.T) {
	gone := newFarEnd(t, answers(200, ""))
	gone.Close()
	strange := httptest.NewTLSServer(answers(200, ""))
	t.Cleanup(strange.Close)
	strange.Config.ErrorLog = log.New(io.Discard, "", 0)
	tlsHost := strings.TrimPrefix(strange.URL, "https://")
	for name, form := range local {
		t.Run(name, func(t *testing.T) {
			_, err := channel(t, gone.address(form)).Send(t.Context(), dry)
			check(t, err, []string{"nothing listens"}, false)
			clean(t, err.Error(), gone.host())

			safe := strings.NewReplacer("disabletls=yes", "", "scheme=http", "", "HOST", tlsHost, "TOKEN", token).Replace(form)
			_, err = channel(t, safe).Send(t.Context(), dry)
			check(t, err, []string{"certificate is not trusted"}, false)
			clean(t, err.Error(), tlsHost)
		})
	}
}

// When the context ends, Send ends, though the library waits on; the next send
// is turned away at once, until the far end lets go of the first.
func TestAHangingServiceHoldsUpNobody(t *testing.T) {
	arrived, letGo := make(chan bool, 2), make(chan bool)
	f := newFarEnd(t, func(w http.ResponseWriter, r *http.Request) {
		arrived <- true
		<-letGo
	})
	c := channel(t, f.address(local["generic"]))
	ctx, cancel := context.WithCancel(t.Context())
	failed := make(chan error)
	go func() {
		_, err := c.Send(ctx, dry)
		failed <- err
	}()
	<-arrived
	cancel()
	err := <-failed // hangs here if Send does not honour its context
	check(t, err, []string{"no answer in time"}, false)
	clean(t, err.Error(), f.host())
	if !errors.Is(err, context.Canceled) {
		t.Errorf("the cause is lost: %v", err)
	}

	_, err = c.Send(t.Context(), dry)
	check(t, err, []string{"the send before is under way"}, false)
	clean(t, err.Error(), f.host())
	if len(arrived) != 0 {
		t.Error("a second send went out while the first hung")
	}

	close(letGo)
	for deadline := time.After(10 * time.Second); ; { // the goroutine ends soon, at no known instant
		if _, err = c.Send(t.Context(), dry); err == nil {
			break
		}
		select {
		case <-deadline:
			t.Fatalf("the channel stays blocked: %v", err)
		default:
		}
	}
}

// A context that has ended already sends nothing.
func TestNothingGoesOutAfterTheEnd(t *testing.T) {
	f := newFarEnd(t, answers(200, ""))
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := channel(t, f.address(local["generic"])).Send(ctx, dry); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	if len(f.asked) != 0 {
		t.Error("it was sent")
	}
}
