package main

import (
	"context"
	"errors"
	"log/slog"
	"time"

	"bainward/daemon/app"
	"bainward/daemon/publish"
	"bainward/daemon/site"
)

// brokerage is the site's way to a broker: its own embedded one, one elsewhere,
// or none.
type brokerage struct {
	embedded *publish.Broker
	out      *publish.Publisher
	options  publish.Options
}

// hearers are told what comes from the broker. They are called after start.
type hearers struct {
	obey     func(context.Context, publish.Command) error
	mayOrder func(who string) error
	sibling  func(site, status string)
	// other hears what siblings say of their records, cosigned what they signed of
	// this one's.
	other, cosigned func(site string, document []byte)
}

// openBroker prepares what the site file asks for; its own broker is started.
// A word is published only after start.
func openBroker(s *site.Site, to hearers, log *slog.Logger) (*brokerage, error) {
	b := &brokerage{}
	if s.Broker == nil {
		return b, nil
	}
	o := publish.Options{
		URL: s.Broker.URL, Username: s.Broker.Name, PasswordFile: s.Broker.PasswordFile,
		Prefix: s.Broker.Topic, Site: s.Name, Logger: log,
		AllowCommands: s.Broker.Orders != site.NoOrders, OrdersKeyFile: s.Broker.OrdersKey.File, MayOrder: to.mayOrder,
		OnCommand: to.obey, Siblings: s.Siblings, OnSibling: to.sibling,
		OnCheckpoint: to.other, OnCosigned: to.cosigned,
	}
	var err error
	if s.Broker.Embedded != "" {
		b.embedded, err = publish.StartBroker(publish.BrokerOptions{
			Address: s.Broker.Embedded, Username: s.Broker.Name, PasswordFile: s.Broker.PasswordFile, Logger: log,
		})
		if err != nil {
			return nil, err
		}
		o.URL = b.embedded.URL()
	}
	b.options = o
	if b.out, err = publish.New(o); err != nil {
		return nil, errors.Join(err, b.Close())
	}
	return b, nil
}

// start begins to publish. A broker elsewhere that is away is no error: the
// publisher goes on trying. A daemon that finds its record in use must not have
// come so far: it would speak with the other one's name.
func (b *brokerage) start() {
	if b.out != nil {
		b.out.Start()
	}
}

// publisher is what the app announces to; nil if there is no broker.
func (b *brokerage) publisher() app.Publisher {
	if b.out == nil {
		return nil
	}
	return b.out
}

// Close says goodbye to the broker and then ends the embedded one.
func (b *brokerage) Close() error {
	var errs []error
	if b.out != nil {
		ctx, cancel := context.WithTimeout(context.Background(), 3*time.Second)
		defer cancel()
		errs = append(errs, b.out.Stop(ctx))
	}
	if b.embedded != nil {
		errs = append(errs, b.embedded.Close())
	}
	return errors.Join(errs...)
}
