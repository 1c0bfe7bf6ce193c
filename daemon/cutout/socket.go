package cutout

import (
	"errors"
	"fmt"
	"time"
)

// SocketOptions say what a switched socket is told through the broker.
type SocketOptions struct {
	Topic   string
	On, Off string        // payloads; default ON and OFF
	Every   time.Duration // it is told again so often; default 10 s
	// Publish hands a message to the broker, or returns an error. It must not wait
	// long: while it does, the socket is told nothing.
	Publish func(topic, payload string, retain bool) error
}

// Socket is a switched socket that listens to a topic of the broker.
//
// It is told On or Off every so often, so that one that was restarted or lost a
// message knows soon. On is never retained: a socket or a broker that comes back
// while the daemon is away must find no old permission. Off is, so that it finds
// that.
//
// The daemon's death is told by the broker, with the last will that Will returns,
// within one and a half times the keep-alive of that connection (MQTT 3.1.1,
// 3.1.2.10). A dead broker is told by nobody: only a socket that goes off by
// itself when it was not told On for some time covers that too.
type Socket struct {
	o       SocketOptions
	told    bool // what was said last arrived
	allowed bool
	at      time.Duration
}

// NewSocket checks o.
func NewSocket(o SocketOptions) (*Socket, error) {
	if o.On == "" {
		o.On = "ON"
	}
	if o.Off == "" {
		o.Off = "OFF"
	}
	if o.Every == 0 {
		o.Every = 10 * time.Second
	}
	fault := ""
	switch {
	case o.Topic == "":
		fault = "Topic is missing"
	case o.On == o.Off:
		fault = fmt.Sprintf("On and Off are both %q: a socket must tell them apart", o.On)
	case o.Every < 0:
		fault = fmt.Sprintf("Every is %v", o.Every)
	case o.Publish == nil:
		fault = "Publish is missing"
	}
	if fault != "" {
		return nil, errors.New("make socket: " + fault)
	}
	return &Socket{o: o}, nil
}

// Will is the last will that the connection must have over which Publish goes. An
// MQTT connection has one will only (MQTT 3.1.1, 3.1.2.5), and that of the
// publisher is its status: so each socket needs a connection of its own.
func (s *Socket) Will() (topic, payload string, retain bool) {
	return s.o.Topic, s.o.Off, true
}

func (s *Socket) String() string { return fmt.Sprintf("socket at %s", s.o.Topic) }

func (s *Socket) drive(allow bool, now time.Duration) (time.Duration, error) {
	if s.told && s.allowed == allow && now-s.at < s.o.Every {
		return s.o.Every - (now - s.at), nil
	}
	payload := s.o.Off
	if allow {
		payload = s.o.On
	}
	err := s.o.Publish(s.o.Topic, payload, !allow)
	s.told, s.allowed, s.at = err == nil, allow, now
	if err != nil {
		return retry, fmt.Errorf("tell %s %q: %w", s.o.Topic, payload, err)
	}
	return s.o.Every, nil
}
