package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"strings"
	"syscall"
	"time"

	"bainward/daemon/web"
)

// askedDaemon is the daemon of this machine, asked through its JSON interface
// (daemon/web/API.md).
type askedDaemon struct {
	address string // host:port
	client  *http.Client
}

// Limits of asking. A test takes the daemon up to a minute.
const (
	findWait  = 5 * time.Second
	testWait  = 70 * time.Second
	maxAnswer = 1 << 20 // bytes; far more than any site has to say
)

// newAskedDaemon asks the daemon that listens at an address of the site file. No
// proxy is asked: it would not know this machine.
func newAskedDaemon(listen string) *askedDaemon {
	return &askedDaemon{address: reachable(listen), client: &http.Client{
		Transport:     &http.Transport{DisableKeepAlives: true},
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}}
}

// reachable is where a daemon is asked that listens at every address.
func reachable(listen string) string {
	host, port, err := net.SplitHostPort(listen)
	if err != nil {
		return listen
	}
	at, err := netip.ParseAddr(host)
	switch {
	case host == "", err == nil && at.IsUnspecified() && at.Is4():
		host = "127.0.0.1"
	case err == nil && at.IsUnspecified():
		host = "::1"
	}
	return net.JoinHostPort(host, port)
}

// find returns nil if a daemon answers there, or why not.
func (d *askedDaemon) find(ctx context.Context) error {
	ctx, cancel := context.WithTimeout(ctx, findWait)
	defer cancel()
	var answer struct{ Proofs *[]web.Proof }
	err := d.ask(ctx, http.MethodGet, "/api/phones", "", &answer)
	switch {
	case errors.Is(err, syscall.ECONNREFUSED):
		return fmt.Errorf("nothing listens at %s", d.address)
	case err != nil:
		return fmt.Errorf("%s: %w", d.address, err)
	case answer.Proofs == nil:
		return fmt.Errorf("%s: what answers there is another program", d.address)
	}
	return nil
}

// test has the daemon prove its channels.
func (d *askedDaemon) test(ctx context.Context) ([]web.Proof, error) {
	ctx, cancel := context.WithTimeout(ctx, testWait)
	defer cancel()
	var answer struct{ Proofs []web.Proof }
	if err := d.ask(ctx, http.MethodPost, "/phones/test", "{}", &answer); err != nil {
		return nil, fmt.Errorf("ask the daemon at %s: %w", d.address, err)
	}
	return answer.Proofs, nil
}

// ask sends body as JSON and reads the answer into v. An error of the daemon has
// its own words.
func (d *askedDaemon) ask(ctx context.Context, method, path, body string, v any) error {
	r, err := http.NewRequestWithContext(ctx, method, "http://"+d.address+path, strings.NewReader(body))
	if err != nil {
		return err
	}
	r.Header.Set("Content-Type", "application/json")
	answer, err := d.client.Do(r)
	if err != nil {
		if ctx.Err() != nil {
			return errors.New("no answer in time")
		}
		if at, ok := errors.AsType[*url.Error](err); ok {
			err = at.Err // the address is named already
		}
		return err
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(io.LimitReader(answer.Body, maxAnswer))
	if err != nil {
		return fmt.Errorf("read its answer: %w", err)
	}
	if answer.StatusCode != http.StatusOK {
		var said struct{ Error string }
		if json.Unmarshal(text, &said) == nil && said.Error != "" {
			return errors.New(said.Error)
		}
		return fmt.Errorf("it answered %d %s", answer.StatusCode, http.StatusText(answer.StatusCode))
	}
	if err := json.Unmarshal(text, v); err != nil {
		return errors.New("what answers there is another program")
	}
	return nil
}
