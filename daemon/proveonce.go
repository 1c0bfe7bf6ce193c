package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"time"

	"bainward/daemon/app"
	"bainward/daemon/phone/notice"
	"bainward/daemon/site"
	"bainward/daemon/web"
)

// proveOnce opens every channel, sends a proof through each, and closes what it
// opened. record is the record's folder, which may not be there. It is only read,
// and what is needed of it is copied: a key made or a list written here would
// belong to whoever runs the test, and the daemon could not read it.
func (o *opener) proveOnce(ctx context.Context, record string) (proofs []web.Proof, err error) {
	dir, err := os.MkdirTemp("", "bainward-test-")
	if err != nil {
		return nil, fmt.Errorf("make a folder for the keys: %w", err)
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	p := &app.Phones{Kinds: map[string]string{}, Plan: o.plan()}
	var silent []web.Proof
	copied := copyOffice(dir, record)
	for _, c := range o.site.Channels {
		p.Kinds[c.Name] = c.Kind.String()
		err := o.open(p, dir, c)
		if c.Kind == site.PushChannel && copied != nil {
			err = copied
		}
		switch {
		case err == nil:
		case c.Kind == site.PinChannel:
			silent = append(silent, notProven("everybody near", c.Name, c.Kind.String(), err.Error()))
		default:
			p.Channels = append(p.Channels, unopened{c.Name, err})
		}
	}
	p.Secrets = o.secrets
	ctx, cancel := context.WithCancel(ctx)
	var pins sync.WaitGroup
	for _, out := range p.Pins {
		pins.Go(func() { out.Run(ctx) })
	}
	proofs = app.ProveOnce(ctx, o.site, *p, time.Now())
	cancel()
	pins.Wait() // they end with the pins off
	return append(proofs, silent...), nil
}

// copyOffice copies the key of push messages and the list of the phones.
func copyOffice(dir, record string) error {
	files, err := filepath.Glob(filepath.Join(record, "push-*.json"))
	if err != nil {
		return fmt.Errorf("look for the phones in %s: %w", record, err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			return fmt.Errorf("%w: run the test as the user of the daemon", err)
		}
		if err := os.WriteFile(filepath.Join(dir, filepath.Base(file)), text, 0o600); err != nil {
			return fmt.Errorf("copy the list of the phones: %w", err)
		}
	}
	return nil
}

// unopened is a channel that could not be opened: it says so to whoever it should
// have reached, and the others are proven all the same.
type unopened struct {
	name string
	err  error
}

func (u unopened) Name() string { return u.name }

// Send fails with what kept the channel from being opened.
func (u unopened) Send(context.Context, notice.Notice) (string, error) { return "", u.err }

// notProven is a way through which nothing could be sent.
func notProven(contact, channel, kind, why string) web.Proof {
	return web.Proof{Contact: contact, Channel: channel, Kind: kind, LastTried: time.Now(), Answer: why}
}
