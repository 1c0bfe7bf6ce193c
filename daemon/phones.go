package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"strings"

	"bainward/daemon/app"
	"bainward/daemon/phone/alive"
	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/link"
	"bainward/daemon/phone/mail"
	"bainward/daemon/phone/notice"
	"bainward/daemon/phone/pin"
	"bainward/daemon/phone/push"
	"bainward/daemon/phone/service"
	"bainward/daemon/phone/webhook"
	"bainward/daemon/site"
)

// opener opens the ways to people that a site file names. Every secret that it
// reads is remembered, so that the desk can cut it out of whatever is said.
type opener struct {
	site    *site.Site
	env     func(string) string
	log     *slog.Logger
	secrets []notice.Secret
}

// phones opens all of it. A channel that cannot be opened is an error: a site
// must not light a fire believing that it would be called. Keys are kept in dir.
func (o *opener) phones(dir string) (*app.Phones, error) {
	p := &app.Phones{Address: o.site.Phone.Address, Kinds: map[string]string{}, Plan: o.plan()}
	var err error
	if p.Links, err = link.Open(dir); err != nil {
		return nil, err
	}
	var errs []error
	for _, c := range o.site.Channels {
		p.Kinds[c.Name] = c.Kind.String()
		if err := o.open(p, dir, c); err != nil {
			errs = append(errs, fmt.Errorf("open channel %s: %w", c.Name, err))
		}
	}
	p.Secrets = o.secrets
	return p, errors.Join(errs...)
}

func (o *opener) plan() calls.Plan {
	plan := calls.Plan{Repeat: o.site.Phone.Repeat}
	for _, c := range o.site.Contacts {
		plan.Contacts = append(plan.Contacts, calls.Contact{
			Name: c.Name, Channels: c.Channels, Wait: c.Wait, Least: c.Least,
			Quiet: calls.Quiet{From: c.Quiet.From, To: c.Quiet.To},
		})
	}
	return plan
}

func (o *opener) open(p *app.Phones, dir string, c site.Channel) error {
	if c.Kind == site.PinChannel {
		out, err := o.pin(c)
		if err == nil {
			p.Pins = append(p.Pins, out)
		}
		return err
	}
	ch, err := o.channel(p, dir, c)
	if err == nil {
		p.Channels = append(p.Channels, ch)
	}
	return err
}

func (o *opener) channel(p *app.Phones, dir string, c site.Channel) (notice.Channel, error) {
	switch c.Kind {
	case site.PushChannel:
		if p.Office == nil {
			office, err := push.Open(dir, o.site.Phone.Subject)
			if err != nil {
				return nil, err
			}
			p.Office = office
		}
		return p.Office.Channel(c.Name, c.Contact), nil
	case site.ServiceChannel:
		address, err := o.secret(c.URL)
		if err != nil {
			return nil, err
		}
		return service.New(c.Name, address)
	case site.WebhookChannel:
		return o.webhook(c)
	case site.MailChannel:
		return o.mail(c)
	}
	return nil, fmt.Errorf("unknown kind %s", c.Kind)
}

func (o *opener) webhook(c site.Channel) (notice.Channel, error) {
	address, err := o.secret(c.URL)
	if err != nil {
		return nil, err
	}
	key, err := o.secret(c.Key)
	if err != nil {
		return nil, err
	}
	return webhook.New(webhook.Settings{Name: c.Name, URL: address, Key: key, Picture: c.Picture})
}

func (o *opener) mail(c site.Channel) (notice.Channel, error) {
	s := mail.Settings{
		Name: c.Name, Host: c.Mail.Host, Port: c.Mail.Port, TLS: c.Mail.TLS.String(),
		User: c.Mail.User, From: c.Mail.From, Picture: c.Picture,
	}
	if c.Mail.Password.Set() {
		var err error
		if s.Password, err = o.secret(c.Mail.Password); err != nil {
			return nil, err
		}
	}
	all := eachOf{name: c.Name}
	for _, to := range c.Mail.To {
		s.To = to
		one, err := mail.New(s)
		if err != nil {
			return nil, err
		}
		all.channels = append(all.channels, one)
	}
	if len(all.channels) == 1 {
		return all.channels[0], nil
	}
	return all, nil
}

func (o *opener) pin(c site.Channel) (*pin.Output, error) {
	wire, err := pin.Open(c.Pin.Name)
	if err != nil {
		return nil, err
	}
	return pin.New(pin.Options{
		Name: c.Name, Pin: wire, Low: c.Pin.Low, Least: c.Pin.Least, Steady: c.Pin.Steady, Logger: o.log,
	})
}

func (o *opener) secret(r site.SecretRef) (notice.Secret, error) {
	text, err := r.Read(o.env)
	if err != nil {
		return notice.Secret{}, err
	}
	s := notice.NewSecret(text)
	o.secrets = append(o.secrets, s)
	return s, nil
}

// heartbeat opens the heartbeat, if the site names an address for it.
func (o *opener) heartbeat(well func() (bool, string)) (*alive.Heartbeat, error) {
	h := o.site.Heartbeat
	if h == nil {
		return nil, nil
	}
	address, err := o.secret(h.URL)
	if err != nil {
		return nil, fmt.Errorf("open the heartbeat: %w", err)
	}
	return alive.New(alive.Options{URL: address, Every: h.Every, Well: well, Logger: o.log})
}

// eachOf sends a notice to each of several addresses. If one of them fails it is
// sent to all again: twice is better than never.
type eachOf struct {
	name     string
	channels []notice.Channel
}

func (e eachOf) Name() string { return e.name }

func (e eachOf) Send(ctx context.Context, n notice.Notice) (string, error) {
	var answers []string
	var failed *notice.Failure
	for _, c := range e.channels {
		answer, err := c.Send(ctx, n)
		if err != nil {
			f := &notice.Failure{Err: err}
			if known, ok := errors.AsType[*notice.Failure](err); ok {
				f.Final, f.After = known.Final, known.After
			}
			if failed == nil || failed.Final && !f.Final {
				failed = f // one more try helps if it helps one of them
			}
			continue
		}
		answers = append(answers, answer)
	}
	if failed != nil {
		return "", failed
	}
	return strings.Join(answers, "; "), nil
}
