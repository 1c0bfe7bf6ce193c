package service

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log"
	"net/url"
	"strings"
	"time"

	"bainward/daemon/phone/notice"

	"github.com/nicholas-fedor/shoutrrr/pkg/router"
	"github.com/nicholas-fedor/shoutrrr/pkg/services/chat/matrix"
	"github.com/nicholas-fedor/shoutrrr/pkg/services/chat/telegram"
	"github.com/nicholas-fedor/shoutrrr/pkg/services/push/gotify"
)

// Channel is one service at one address. It is safe for concurrent use.
type Channel struct {
	name string
	url  notice.Secret
	kind string // the service's name in the library, "ntfy": no secret
	turn turn
	send func(context.Context, notice.Notice) error
}

// New makes the channel called name from a service's address. It asks nobody
// over the network. Its errors do not hold the address.
func New(name string, address notice.Secret) (*Channel, error) {
	if !address.Set() {
		return nil, fmt.Errorf("channel %q has no address: put the service's URL into the file of url_file or the variable of url_env", name)
	}
	at, err := url.Parse(address.Reveal())
	if err != nil { // the cause quotes the address
		return nil, fmt.Errorf("channel %q: its address is no URL: copy it again, without spaces or line breaks inside", name)
	}
	kind, _, _ := strings.Cut(strings.ToLower(at.Scheme), "+")
	c := &Channel{name: name, url: address, kind: kind}
	err = guarded(func() error { return c.check(at) })
	switch {
	case errors.Is(err, errNobody):
		return nil, fmt.Errorf("channel %q: the service logger reaches nobody: choose another", name)
	case errors.Is(err, router.ErrUnknownService): // the scheme may be part of a token
		return nil, fmt.Errorf("channel %q: its address begins with no known service: it wants to look like ntfy://host/topic", name)
	case err != nil: // so may all the rest
		return nil, fmt.Errorf("channel %q: its address is not a whole %s address: compare it with the library's documentation of %s", name, kind, kind)
	}
	return c, nil
}

var errNobody = errors.New("it reaches nobody")

// check reads the address and settles how to send to it.
func (c *Channel) check(at *url.URL) error {
	c.send = c.ask
	switch c.kind {
	case "logger":
		return errNobody
	case telegram.Scheme:
		b := newBot()
		c.send = b.send
		return b.config.SetURL(at)
	case matrix.Scheme: // the library's service would log in at once
		return new(matrix.Config).SetURL(at)
	}
	s, err := locate(c.url)
	if g, ok := s.(*gotify.Service); ok && err == nil && !new(gotify.DefaultValidator).ValidateToken(g.Config.Token) {
		return gotify.ErrInvalidToken // the library would see it only when sending
	}
	return err
}

// Name is the channel's name in the site file.
func (c *Channel) Name() string { return c.name }

// Send delivers one notice. A send that outlives ctx goes on apart: the notice
// may arrive although Send says that it is not known.
func (c *Channel) Send(ctx context.Context, n notice.Notice) (answer string, err error) {
	if err := ctx.Err(); err != nil {
		return "", c.gaveUp(err)
	}
	back, err := c.turn.take(time.Now())
	if err != nil {
		return "", &notice.Failure{Err: fmt.Errorf("send by %s: %w", c.kind, err)}
	}
	result := make(chan error, 1) // room for an answer nobody waits for any more
	go func() {
		err := guarded(func() error { return c.send(ctx, n) })
		back() // before the result, or the next send might find this one under way
		result <- err
	}()
	select {
	case err := <-result:
		if err != nil {
			return "", c.reason(err)
		}
		return "taken by " + c.kind, nil
	case <-ctx.Done():
		return "", c.gaveUp(ctx.Err())
	}
}

func (c *Channel) gaveUp(cause error) error {
	return &notice.Failure{Err: fmt.Errorf("send by %s: no answer in time: %w", c.kind, cause)}
}

var errPanic = errors.New("the library broke off")

// guarded makes an error of a panic of the library: zulip panics whenever the
// network is down, matrix at an empty room, and would take the daemon with them.
func guarded(do func() error) (err error) {
	defer func() {
		if recover() != nil { // what it says may hold a token
			err = errPanic
		}
	}()
	return do()
}

// ask sends through the library.
func (c *Channel) ask(_ context.Context, n notice.Notice) error {
	s, err := locate(c.url) // anew: what a service remembers of the last notice is wrong for the next
	if err != nil {
		return err
	}
	body, params := compose(c.kind, s, n)
	return s.Send(body, &params)
}

// locate makes the library's service, which logs to nowhere.
func locate(address notice.Secret) (library, error) {
	r, err := router.New(log.New(io.Discard, "", 0))
	if err != nil {
		return nil, err
	}
	return r.Locate(address.Reveal())
}
