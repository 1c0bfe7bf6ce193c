package publish

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	mqtt "github.com/eclipse/paho.mqtt.golang"
)

const (
	ackWait   = 20 * time.Second // for the broker to confirm a message
	batchMost = 64               // messages of the lane on their way at once
	// A broker takes a client for lost after 1.5 times the keep-alive
	// [MQTT-3.1.2-24]: the will is out within 23 s of a power cut.
	keepAlive = 15 * time.Second
	qos       = 1 // at least once
)

// errStopped ends a session that was asked to end.
var errStopped = errors.New("stopped")

// work connects, sends, and connects again, until it is stopped.
//
// Each connection has a client of its own and nothing of the one before is
// resumed by it: the outbox alone knows what must be sent, so an old state can
// never arrive after a newer one.
func (p *Publisher) work(ctx context.Context) {
	defer p.connected.Store(false)
	wait, told := p.options.Retry, false
	for {
		begun := time.Now()
		err := p.session(ctx)
		if errors.Is(err, errStopped) || ctx.Err() != nil {
			return
		}
		if p.connected.Swap(false) { // it was reached, and lost
			told = false
			if time.Since(begun) > longestRetry {
				wait = p.options.Retry
			}
		}
		if !told { // once an outage
			p.options.Logger.Warn("broker is away; the record keeps everything, trying again",
				"broker", p.broker.Host, "err", err)
			told = true
		}
		if !p.pause(ctx, wait) {
			return
		}
		wait = min(wait*2, longestRetry)
	}
}

// pause waits about d; a tenth more or less, so that the daemons of a workshop
// do not all knock at once. It reports false when it is time to end.
func (p *Publisher) pause(ctx context.Context, d time.Duration) bool {
	t := time.NewTimer(time.Duration(float64(d) * (0.9 + 0.2*rand.Float64())))
	defer t.Stop()
	select {
	case <-t.C:
		return true
	case <-p.stop:
	case <-ctx.Done():
	}
	return false
}

// session is one connection, from its beginning to its end.
func (p *Publisher) session(ctx context.Context) (err error) {
	l, err := p.dial(ctx)
	if err != nil {
		return err
	}
	defer func() { l.end(err == errStopped) }() // and not what is joined to it
	if p.options.AllowCommands {
		if err := l.await(l.client.Subscribe(p.topics.orders(), qos, p.receive)); err != nil {
			return fmt.Errorf("subscribe to %s: %w", p.topics.orders(), err)
		}
	}
	if err := p.watchSiblings(l); err != nil {
		return err
	}
	if err := p.watchRecords(l); err != nil {
		return err
	}
	online := message{topic: p.topics.status(), payload: []byte("online"), retained: true}
	if err := l.await(l.publish(online)); err != nil {
		return fmt.Errorf("publish online: %w", err)
	}
	p.outbox.refresh()
	p.connected.Store(true)
	p.options.Logger.Info("connected to the broker", "broker", p.broker.Host, "waiting", p.outbox.waiting())
	return p.deliver(l)
}

// deliver sends what the outbox holds, as it becomes due.
func (p *Publisher) deliver(l *link) error {
	for {
		b, next := p.outbox.take(time.Now(), batchMost)
		if len(b.messages) > 0 {
			if err := p.send(l, b); err != nil {
				return err
			}
			continue
		}
		err := p.sleep(l, next)
		if errors.Is(err, errStopped) {
			return p.sayGoodbye(l)
		}
		if err != nil {
			return err
		}
	}
}

// sleep waits until there is something to send or the connection ends.
func (p *Publisher) sleep(l *link, next time.Time) error {
	d := time.Duration(math.MaxInt64)
	if !next.IsZero() {
		d = time.Until(next)
	}
	due := time.NewTimer(d)
	defer due.Stop()
	select {
	case <-p.outbox.wake:
	case <-due.C:
	case err := <-l.lost:
		return err
	case <-p.stop:
		return errStopped
	case <-l.ctx.Done():
		return l.ctx.Err()
	}
	return nil
}

// send puts a batch on its way and waits until the broker has all of it. The
// broker confirms in order [MQTT-4.6.0-2], so what is confirmed up to the first
// failure has arrived, and the rest is sent again on the next connection.
func (p *Publisher) send(l *link, b batch) error {
	tokens := make([]mqtt.Token, len(b.messages))
	for i, m := range b.messages {
		tokens[i] = l.publish(m)
	}
	for i, t := range tokens {
		if err := l.await(t); err != nil {
			p.outbox.done(b, i)
			return fmt.Errorf("publish %s: %w", b.messages[i].topic, err)
		}
	}
	p.outbox.done(b, b.told)
	return nil
}

// sayGoodbye sends what is left, due or not, and then offline. The will does
// not speak after an orderly disconnection.
func (p *Publisher) sayGoodbye(l *link) error {
	for {
		b, _ := p.outbox.take(time.Now().Add(interval), batchMost)
		if len(b.messages) == 0 {
			break
		}
		if err := p.send(l, b); err != nil {
			return errors.Join(errStopped, err)
		}
	}
	offline := message{topic: p.topics.status(), payload: []byte("offline"), retained: true}
	if err := l.await(l.publish(offline)); err != nil {
		return errors.Join(errStopped, fmt.Errorf("publish offline: %w", err))
	}
	return errStopped
}
