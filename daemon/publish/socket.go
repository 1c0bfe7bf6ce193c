package publish

import (
	"crypto/sha256"
	"fmt"
	"net"
	"net/url"
	"time"

	mqtt "github.com/eclipse/paho.mqtt.golang"
)

// SocketLink is a connection of its own for one switched socket: an MQTT
// connection has one last will only [MQTT-3.1.2-8], and that of the publisher is
// its status. It connects again by itself, and what could not be sent is an error
// rather than sent late: an old permission must not arrive.
type SocketLink struct{ client mqtt.Client }

// OpenSocket begins to connect. If the connection is lost, the broker publishes
// will under topic, retained.
func OpenSocket(o Options, topic, will string) (*SocketLink, error) {
	if err := CheckTopic(topic); err != nil {
		return nil, fmt.Errorf("open the socket: %w", err)
	}
	o.Siblings, o.AllowCommands = nil, false
	o.ClientID = fmt.Sprintf("socket%x", sha256.Sum256([]byte(o.Site+"\x00"+topic)))[:23]
	o, broker, err := o.complete()
	if err != nil {
		return nil, fmt.Errorf("open the socket %s: %w", topic, err)
	}
	p := &Publisher{options: o, broker: broker, topics: topicsOf(o)}
	c, err := p.clientOptions()
	if err != nil {
		return nil, fmt.Errorf("open the socket %s: %w", topic, err)
	}
	c.SetWill(topic, will, qos, true).
		SetAutoReconnect(true).SetMaxReconnectInterval(longestRetry / 6).
		SetConnectRetry(true).SetConnectRetryInterval(o.Retry).
		SetCustomOpenConnectionFn(func(u *url.URL, _ mqtt.ClientOptions) (net.Conn, error) {
			return p.openNow(u)
		})
	l := &SocketLink{client: mqtt.NewClient(c)}
	l.client.Connect() // it goes on trying in the background
	return l, nil
}

// socketWait is how long the broker may take to confirm a word for a socket.
const socketWait = 3 * time.Second

// Publish hands a word to the broker and waits a moment for it to be confirmed.
func (l *SocketLink) Publish(topic, payload string, retain bool) error {
	if !l.client.IsConnectionOpen() {
		return fmt.Errorf("tell the socket %s %q: the broker is away", topic, payload)
	}
	t := l.client.Publish(topic, qos, retain, payload)
	if !t.WaitTimeout(socketWait) {
		return fmt.Errorf("tell the socket %s %q: the broker did not confirm it within %s", topic, payload, socketWait)
	}
	return t.Error()
}

// Close disconnects in order; tell the socket to be off before.
func (l *SocketLink) Close() error {
	l.client.Disconnect(partingWait)
	return nil
}
