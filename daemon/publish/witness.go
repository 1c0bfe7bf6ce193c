package publish

import (
	"bytes"
	"fmt"
	"time"

	mqtt "github.com/eclipse/paho.mqtt.golang"
)

// The topics by which the sites at one broker watch over each other's records.
// All are retained, so that a checkpoint is held outside the machine that made it.
func (t topics) checkpoint() string           { return t.root + "/checkpoint" }
func (t topics) cosigned(level string) string { return t.root + "/cosigned/" + level }

func (p *Publisher) topicsOf(site string) topics {
	return topics{root: p.options.Prefix + "/" + Level(site)}
}

// Checkpoint publishes what this site says of its record: the newest signed
// checkpoint with its proofs. It never waits for the broker.
func (p *Publisher) Checkpoint(document []byte) {
	p.outbox.put(p.topics.checkpoint(), bytes.Clone(document), time.Time{})
}

// Cosign publishes a checkpoint of another site that this one has signed too.
func (p *Publisher) Cosign(site string, document []byte) {
	p.outbox.put(p.topicsOf(site).cosigned(Level(p.options.Site)), bytes.Clone(document), time.Time{})
}

// watchRecords asks the broker for the checkpoints of the siblings, and for what
// they have signed of this site's.
func (p *Publisher) watchRecords(l *link) error {
	if p.options.OnCheckpoint == nil {
		return nil
	}
	for _, site := range p.options.Siblings {
		for topic, told := range map[string]func(string, []byte){
			p.topicsOf(site).checkpoint():  p.options.OnCheckpoint,
			p.topics.cosigned(Level(site)): p.options.OnCosigned,
		} {
			heard := func(_ mqtt.Client, m mqtt.Message) { told(site, bytes.Clone(m.Payload())) }
			if err := l.await(l.client.Subscribe(topic, qos, heard)); err != nil {
				return fmt.Errorf("subscribe to %s: %w", topic, err)
			}
		}
	}
	return nil
}
