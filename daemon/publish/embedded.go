package publish

import (
	"bytes"
	"crypto/subtle"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"syscall"

	mqtt "github.com/mochi-mqtt/server/v2"
	"github.com/mochi-mqtt/server/v2/listeners"
	"github.com/mochi-mqtt/server/v2/packets"
)

// DefaultBrokerAddress lets only programs on this computer in.
const DefaultBrokerAddress = "127.0.0.1:1883"

// BrokerOptions says where to serve a broker and who may use it.
type BrokerOptions struct {
	Address string // host:port; default DefaultBrokerAddress
	// Username and PasswordFile are the one account. Without it everybody is
	// let in, which is refused unless Address is a loopback address.
	Username     string
	PasswordFile string
	Logger       *slog.Logger // default slog.Default()
}

// Broker is a small MQTT broker inside the daemon, for people who have none. It
// keeps retained messages in memory only: after a restart the daemon publishes
// them again.
type Broker struct {
	server  *mqtt.Server
	address string
}

// StartBroker serves a broker until Close.
func StartBroker(o BrokerOptions) (*Broker, error) {
	if o.Address == "" {
		o.Address = DefaultBrokerAddress
	}
	if o.Logger == nil {
		o.Logger = slog.Default()
	}
	door, err := doorOf(o)
	if err != nil {
		return nil, fmt.Errorf("serve a broker at %s: %w", o.Address, err)
	}
	l, err := net.Listen("tcp", o.Address)
	if errors.Is(err, syscall.EADDRINUSE) {
		return nil, fmt.Errorf("serve a broker at %s: another program uses this port, perhaps a broker; publish to that one by its url, or choose another port", o.Address)
	}
	if err != nil {
		return nil, fmt.Errorf("serve a broker at %s: %w", o.Address, err)
	}
	b, err := serve(l, door, o.Logger)
	if err != nil {
		l.Close()
		return nil, fmt.Errorf("serve a broker at %s: %w", o.Address, err)
	}
	return b, nil
}

func serve(l net.Listener, d *door, log *slog.Logger) (*Broker, error) {
	capabilities := mqtt.NewDefaultServerCapabilities()
	capabilities.MaximumPacketSize = 256 << 10 // far above any document here
	s := mqtt.New(&mqtt.Options{Capabilities: capabilities, Logger: log.With("part", "broker")})
	if err := s.AddHook(d, nil); err != nil {
		return nil, err
	}
	if err := s.AddListener(listeners.NewNet("tcp", l)); err != nil {
		return nil, err
	}
	if err := s.Serve(); err != nil {
		return nil, err
	}
	return &Broker{server: s, address: l.Addr().String()}, nil
}

// Address returns host:port at which the broker listens.
func (b *Broker) Address() string { return b.address }

// URL returns where this computer's programs reach the broker.
func (b *Broker) URL() string { return "mqtt://" + b.address }

// Close disconnects everybody and ends the broker.
func (b *Broker) Close() error {
	if err := b.server.Close(); err != nil {
		return fmt.Errorf("close the broker at %s: %w", b.address, err)
	}
	return nil
}

// door decides who gets in.
type door struct {
	mqtt.HookBase
	open           bool
	name, password []byte
}

func doorOf(o BrokerOptions) (*door, error) {
	if (o.Username == "") != (o.PasswordFile == "") {
		return nil, errors.New("half an account: give both Username and PasswordFile, or neither")
	}
	if o.Username == "" {
		if !onLoopback(o.Address) {
			return nil, errors.New("other machines could get in without an account: give name and password file, or serve at 127.0.0.1")
		}
		return &door{open: true}, nil
	}
	password, err := readPassword(o.PasswordFile)
	if err != nil {
		return nil, err
	}
	return &door{name: []byte(o.Username), password: []byte(password)}, nil
}

func onLoopback(address string) bool {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return false
	}
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}

// ID names the hook to the server.
func (*door) ID() string { return "door" }

// Provides tells the server what to ask the hook.
func (*door) Provides(what byte) bool {
	return bytes.IndexByte([]byte{mqtt.OnConnectAuthenticate, mqtt.OnACLCheck}, what) >= 0
}

// OnConnectAuthenticate lets in whoever has the account. Both parts are always
// compared, in constant time.
func (d *door) OnConnectAuthenticate(_ *mqtt.Client, pk packets.Packet) bool {
	name := subtle.ConstantTimeCompare(pk.Connect.Username, d.name)
	password := subtle.ConstantTimeCompare(pk.Connect.Password, d.password)
	return d.open || name&password == 1
}

// OnACLCheck lets whoever is in read and write everything.
func (*door) OnACLCheck(*mqtt.Client, string, bool) bool { return true }
