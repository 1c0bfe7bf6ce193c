package publish

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"net"
	"net/url"
	"time"

	mqtt "github.com/eclipse/paho.mqtt.golang"
)

const (
	connectWait = 10 * time.Second
	writeWait   = 10 * time.Second
	partingWait = 250 // ms, for DISCONNECT to leave
)

// link is one open connection to the broker.
type link struct {
	ctx    context.Context // ends when all must end at once
	client mqtt.Client
	conn   net.Conn
	lost   chan error // room for one: why the connection broke
}

// dial connects once. paho's own reconnection is off: see work.
func (p *Publisher) dial(ctx context.Context) (*link, error) {
	l := &link{ctx: ctx, lost: make(chan error, 1)}
	o, err := p.clientOptions()
	if err != nil {
		return nil, err
	}
	o.SetCustomOpenConnectionFn(func(broker *url.URL, _ mqtt.ClientOptions) (net.Conn, error) {
		conn, err := p.open(ctx, broker)
		if err == nil {
			l.conn = conn
			context.AfterFunc(ctx, func() { conn.Close() })
		}
		return conn, err
	})
	o.SetConnectionLostHandler(func(_ mqtt.Client, why error) {
		if errors.Is(why, io.EOF) {
			why = errors.New("the broker closed the connection")
		}
		l.lost <- why // told once a client
	})
	l.client = mqtt.NewClient(o)
	t := l.client.Connect()
	select {
	case <-t.Done():
	case <-p.stop: // not there yet, and not wanted any more; Stop ends ctx
		return nil, errStopped
	}
	if err := t.Error(); err != nil {
		return nil, fmt.Errorf("connect to broker %s: %w", p.broker.Host, err)
	}
	return l, nil
}

func (p *Publisher) clientOptions() (*mqtt.ClientOptions, error) {
	o := mqtt.NewClientOptions().
		AddBroker(p.broker.String()).
		SetClientID(p.options.ClientID).
		SetProtocolVersion(4). // 3.1.1, without a second try at 3.1
		SetCleanSession(true). // an order given while we were away is not obeyed later
		SetStore(mqtt.NewMemoryStore()).
		SetAutoReconnect(false).
		SetConnectTimeout(connectWait).
		SetWriteTimeout(writeWait).
		SetKeepAlive(keepAlive).
		SetPingTimeout(keepAlive/2).
		SetOrderMatters(true).
		SetWill(p.topics.status(), "offline", qos, true)
	if p.options.Username == "" {
		return o, nil
	}
	password, err := readPassword(p.options.PasswordFile)
	if err != nil {
		return nil, err
	}
	return o.SetUsername(p.options.Username).SetPassword(password), nil
}

// open connects to the broker itself and to nothing else: paho would go through
// a proxy that it finds in the environment.
func (p *Publisher) open(ctx context.Context, broker *url.URL) (net.Conn, error) {
	ctx, cancel := context.WithTimeout(ctx, connectWait)
	defer cancel()
	if broker.Scheme == "mqtts" {
		d := tls.Dialer{Config: p.options.TLS}
		return d.DialContext(ctx, "tcp", broker.Host)
	}
	var d net.Dialer
	return d.DialContext(ctx, "tcp", broker.Host)
}

// openNow is open for a client that has no context.
func (p *Publisher) openNow(broker *url.URL) (net.Conn, error) {
	return p.open(context.Background(), broker)
}

// end closes the connection: in order, which keeps the will from speaking, or by
// cutting it, so that the broker says offline for us.
func (l *link) end(orderly bool) {
	if !orderly {
		l.conn.Close()
	}
	l.client.Disconnect(partingWait)
}

// publish puts a message on its way. The token tells when it arrived.
func (l *link) publish(m message) mqtt.Token {
	return l.client.Publish(m.topic, qos, m.retained, m.payload)
}

// await waits until the broker has confirmed t.
func (l *link) await(t mqtt.Token) error {
	late := time.NewTimer(ackWait)
	defer late.Stop()
	select {
	case <-t.Done():
		return t.Error()
	case err := <-l.lost:
		l.lost <- err // for the next who waits
		return err
	case <-late.C:
		return fmt.Errorf("no confirmation within %v", ackWait)
	case <-l.ctx.Done():
		return l.ctx.Err()
	}
}
