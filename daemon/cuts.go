package main

import (
	"errors"
	"fmt"
	"log/slog"

	"bainward/daemon/app"
	"bainward/daemon/cutout"
	"bainward/daemon/phone/pin"
	"bainward/daemon/publish"
	"bainward/daemon/site"
)

// cuts are the cut-outs of a site with the connections that they need.
type cuts struct {
	all   []app.Cut
	links []*publish.SocketLink
}

// openCuts opens the outputs that cut the heat.
func openCuts(s *site.Site, broker *brokerage, log *slog.Logger) (*cuts, error) {
	c := &cuts{}
	for _, one := range s.Cutouts {
		out, err := c.output(one, broker)
		if err != nil {
			return nil, errors.Join(fmt.Errorf("open the cut-out of bath %s: %w", one.Bath, err), c.Close())
		}
		log.Warn("bath "+one.Bath+" has a heat cut-out", "caution", cutout.Caution)
		c.all = append(c.all, app.Cut{Bath: one.Bath, Output: out})
	}
	return c, nil
}

func (c *cuts) output(one site.Cutout, broker *brokerage) (cutout.Output, error) {
	if one.Topic != "" {
		return c.socket(one, broker)
	}
	wire, err := pin.Open(one.Pin)
	if err != nil {
		return nil, err
	}
	if one.Mode == site.PulseMode {
		return cutout.Pulse(wire), nil
	}
	return cutout.Level(wire), nil
}

func (c *cuts) socket(one site.Cutout, broker *brokerage) (cutout.Output, error) {
	var l *publish.SocketLink
	o := cutout.SocketOptions{
		Topic: one.Topic, On: one.On, Off: one.Off, Every: one.Every,
		Publish: func(topic, payload string, retain bool) error { return l.Publish(topic, payload, retain) },
	}
	socket, err := cutout.NewSocket(o)
	if err != nil {
		return nil, err
	}
	topic, will, _ := socket.Will()
	if l, err = publish.OpenSocket(broker.options, topic, will); err != nil {
		return nil, err
	}
	c.links = append(c.links, l)
	return socket, nil
}

// Close ends the connections. The cut-outs have ended before, with the heat off.
func (c *cuts) Close() error {
	var errs []error
	for _, l := range c.links {
		errs = append(errs, l.Close())
	}
	return errors.Join(errs...)
}
