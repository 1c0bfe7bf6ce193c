package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"os"
	"os/user"
	"strings"
	"syscall"
	"time"

	"bainward/daemon/people"
	"bainward/daemon/site"
	"bainward/daemon/web"
)

// askedDaemon is the daemon of this machine, asked through its JSON interface
// (daemon/web/API.md).
type askedDaemon struct {
	address string // host:port
	scheme  string
	token   string // lets a command in where people sign in
	client  *http.Client
	broken  error // why it cannot be asked at all
}

// Limits of asking. A test takes the daemon up to a minute.
const (
	findWait  = 5 * time.Second
	testWait  = 70 * time.Second
	maxAnswer = 1 << 20 // bytes; far more than any site has to say
)

// newAskedDaemon asks the daemon of a site that listens at listen and keeps its
// record in dir, where the token lies with which a command comes in. No proxy is
// asked: it would not know this machine.
func newAskedDaemon(s *site.Site, listen, dir string) *askedDaemon {
	way := &http.Transport{DisableKeepAlives: true}
	d := &askedDaemon{address: reachable(listen), scheme: "http", client: &http.Client{
		Transport:     way,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}}
	if c := certificateOf(s, listen, dir, slog.New(slog.DiscardHandler)); c != nil {
		d.scheme = "https"
		way.TLSClientConfig, d.broken = c.trustOnly()
	}
	if d.broken == nil && len(s.People) > 0 {
		d.token, d.broken = people.CommandToken(dir)
	}
	return d
}

// whoAsks is the user of this machine who gives a command: of sudo, the one behind it.
func whoAsks() string {
	u, err := user.Current()
	if err != nil {
		return ""
	}
	if behind := os.Getenv("SUDO_USER"); u.Uid == "0" && behind != "" {
		return behind
	}
	return u.Username
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
	body, err := json.Marshal(struct {
		Who string `json:"who"`
	}{people.OnCommandLine(whoAsks())})
	if err != nil {
		return nil, err
	}
	if err := d.ask(ctx, http.MethodPost, "/phones/test", string(body), &answer); err != nil {
		return nil, fmt.Errorf("ask the daemon at %s: %w", d.address, err)
	}
	return answer.Proofs, nil
}

// ask sends body as JSON and reads the answer into v. An error of the daemon has
// its own words.
func (d *askedDaemon) ask(ctx context.Context, method, path, body string, v any) error {
	if d.broken != nil {
		return d.broken
	}
	r, err := http.NewRequestWithContext(ctx, method, d.scheme+"://"+d.address+path, strings.NewReader(body))
	if err != nil {
		return err
	}
	if d.token != "" {
		r.Header.Set("Authorization", "Bearer "+d.token)
		r.Header.Set("Bainward-User", whoAsks())
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
