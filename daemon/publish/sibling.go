package publish

import (
	"errors"
	"fmt"
	"strings"

	mqtt "github.com/eclipse/paho.mqtt.golang"
)

// statusOf is the status topic of another site under the same prefix.
func (p *Publisher) statusOf(site string) string {
	return p.options.Prefix + "/" + Level(site) + "/status"
}

// watchSiblings asks the broker for the status of the sites that are watched.
// The broker keeps the last word of each, a last will included, and repeats it
// at every connection.
func (p *Publisher) watchSiblings(l *link) error {
	for _, site := range p.options.Siblings {
		told := func(_ mqtt.Client, m mqtt.Message) { p.options.OnSibling(site, string(m.Payload())) }
		if err := l.await(l.client.Subscribe(p.statusOf(site), qos, told)); err != nil {
			return fmt.Errorf("subscribe to %s: %w", p.statusOf(site), err)
		}
	}
	return nil
}

// checkSiblings says what keeps the siblings from being watched.
func (o Options) checkSiblings() error {
	for _, site := range o.Siblings {
		switch level := Level(site); {
		case level == "":
			return fmt.Errorf("sibling %q has no letter or digit to make a topic of", site)
		case level == Level(o.Site):
			return fmt.Errorf("sibling %q is this site itself", site)
		}
	}
	if len(o.Siblings) > 0 && o.OnSibling == nil {
		return fmt.Errorf("siblings %s are watched and nobody is told: OnSibling is missing", strings.Join(o.Siblings, ", "))
	}
	if (o.OnCheckpoint == nil) != (o.OnCosigned == nil) {
		return errors.New("half a witness: give both OnCheckpoint and OnCosigned, or neither")
	}
	return nil
}
