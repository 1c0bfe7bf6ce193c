package publish

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	mqtt "github.com/eclipse/paho.mqtt.golang"

	"bainward/rules"
	"bainward/rules/alarm"
)

// Command is one thing that somebody at the broker wants done at a bath: an
// operator event or, if Event.Kind is NoEvent, an action on an alarm. Whether
// the bath exists is for OnCommand to say.
type Command struct {
	Bath  string
	Who   string // who signed it; empty: anybody who may write to the broker
	Event rules.Event
	Alarm alarm.Command
}

const (
	ordersWaiting = 16
	maxOrder      = 1024 // bytes; a note is a sentence
)

// ParseOrder reads what was sent to a bath's topic "do": operator events as in
// a trace file ("top-up 500 ml; note foam"), and "acknowledge ALARM". Several
// are separated by semicolons.
func ParseOrder(bath, text string) ([]Command, error) {
	switch {
	case len(text) > maxOrder:
		return nil, fmt.Errorf("order: %d bytes long, and %d are allowed", len(text), maxOrder)
	case !utf8.ValidString(text):
		return nil, errors.New("order: not UTF-8 text")
	}
	var commands []Command
	for part := range strings.SplitSeq(text, ";") {
		part = strings.TrimSpace(part)
		if part == "" {
			continue
		}
		c, err := parseOne(bath, part)
		if err != nil {
			return nil, err
		}
		commands = append(commands, c)
	}
	if len(commands) == 0 {
		return nil, errors.New("order: empty; want an operator event, such as top-up 500 ml, or acknowledge ALARM")
	}
	return commands, nil
}

func parseOne(bath, text string) (Command, error) {
	word, name, _ := strings.Cut(text, " ")
	if word != alarm.Acknowledge.String() {
		event, err := rules.ParseEvent(text)
		if err != nil {
			return Command{}, fmt.Errorf("%w; or acknowledge ALARM", err)
		}
		return Command{Bath: bath, Event: event}, nil
	}
	id, ok := rules.ParseID(strings.TrimSpace(name))
	if !ok {
		return Command{}, fmt.Errorf("order %q: no alarm is called %q", text, strings.TrimSpace(name))
	}
	return Command{Bath: bath, Alarm: alarm.Command{Alarm: id, Action: alarm.Acknowledge}}, nil
}

// order is a message from the broker that waits for its turn.
type order struct{ bath, text string }

// answerDocument says what became of an order.
type answerDocument struct {
	At    string `json:"at"`
	Order string `json:"order"`
	Done  int    `json:"done"`            // how many of its parts were done
	Error string `json:"error,omitempty"` // why the next was not
}

// receive is called by paho, one message after the other, and must not wait.
func (p *Publisher) receive(_ mqtt.Client, m mqtt.Message) {
	bath, ok := p.topics.bathOf(m.Topic())
	if !ok {
		return
	}
	o := order{bath: bath, text: string(m.Payload())}
	if m.Retained() {
		// The broker kept it and would repeat it at each connection, for ever. One
		// that is sent while we are connected comes without the flag
		// [MQTT-3.3.1-9] and is obeyed, that once.
		p.answer(o, 0, errors.New("order: retained; orders must be sent without the retain flag"))
		return
	}
	select {
	case p.orders <- o:
	default:
		p.answer(o, 0, fmt.Errorf("order: %d others wait already; try again", ordersWaiting))
	}
}

// obey carries out orders one by one until the publisher stops.
func (p *Publisher) obey(ctx context.Context) {
	for {
		select {
		case o := <-p.orders:
			done, err := p.carryOut(ctx, o)
			p.answer(o, done, err)
		case <-p.stop:
			return
		case <-ctx.Done():
			return
		}
	}
}

// carryOut does the parts of an order up to the first that fails.
func (p *Publisher) carryOut(ctx context.Context, o order) (done int, err error) {
	who, text := "", o.text
	if p.seals != nil {
		if who, text, err = p.seals.open(p.topics.of(o.bath, "do"), o.text, time.Now()); err != nil {
			return 0, err
		}
	}
	commands, err := ParseOrder(o.bath, text)
	if err != nil {
		return 0, err
	}
	for i, c := range commands {
		c.Who = who
		if err := p.options.OnCommand(ctx, c); err != nil {
			return i, err
		}
	}
	return len(commands), nil
}

// answer publishes and logs what became of an order.
func (p *Publisher) answer(o order, done int, err error) {
	text := strings.ToValidUTF8(orderIn(o.text), "\uFFFD")
	if len(text) > maxOrder {
		text = strings.ToValidUTF8(text[:maxOrder], "") + "…"
	}
	d := answerDocument{At: stamp(time.Now()), Order: text, Done: done}
	if err != nil {
		d.Error = err.Error()
		p.options.Logger.Warn("order refused", "bath", o.bath, "order", text, "err", err)
	} else {
		p.options.Logger.Info("order carried out", "bath", o.bath, "order", text)
	}
	p.tell(message{topic: p.topics.answer(o.bath), payload: encode(d)})
}
