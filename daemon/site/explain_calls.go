package site

import (
	"fmt"
	"strings"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
)

// explainCalls says who is called when, and by what.
func (s *Site) explainCalls(b *strings.Builder) {
	for _, ch := range s.Channels {
		fmt.Fprintf(b, "Channel %s: %s.\n", ch.Name, ch.words())
	}
	if len(s.Contacts) == 0 {
		b.WriteString("Nobody is called: alarms show on the open page only.\n")
	} else {
		s.explainContacts(b)
	}
	if s.Heartbeat != nil {
		fmt.Fprintf(b, "Heartbeat: every %s to the address in %s; whoever listens there must notice when it stops.\n",
			spoken(s.Heartbeat.Every), s.Heartbeat.URL)
	}
	for _, name := range s.Siblings {
		fmt.Fprintf(b, "Sibling %s: when the broker says that its daemon ended, people here are told.\n", name)
	}
	for _, cut := range s.Cutouts {
		fmt.Fprintf(b, "Cut-out of %s: %s; it is no substitute for a safety device.\n", cut.Bath, cut.words())
	}
}

func (ch Channel) words() string {
	picture := ""
	if ch.Picture {
		picture = "; with a picture of the last half hour"
	}
	switch ch.Kind {
	case PushChannel:
		return "push messages to the devices of " + ch.Contact
	case ServiceChannel:
		return "a message service, its address in " + ch.URL.String()
	case MailChannel:
		return ch.Mail.words() + picture
	case WebhookChannel:
		return fmt.Sprintf("a signed POST to the address in %s, its key in %s%s", ch.URL, ch.Key, picture)
	}
	return ch.Pin.words()
}

func (m Mail) words() string {
	private := [...]string{StartTLS: "after STARTTLS", TLS: "under TLS", NoTLS: "in the clear"}[m.TLS]
	account := ""
	if m.User != "" {
		account = fmt.Sprintf(" as %s, whose password is in %s", m.User, m.Password)
	}
	return fmt.Sprintf("mail to %s from %s, by %s:%d %s%s", and(m.To), m.From, m.Host, m.Port, private, account)
}

func (p Pin) words() string {
	manner, level := "in a pattern", "high"
	if p.Steady {
		manner = "simply on"
	}
	if p.Low {
		level = "low"
	}
	return fmt.Sprintf("pin %s, %s when %s, for alarms %s", p.Name, manner, level, upward(p.Least))
}

func (c Cutout) words() string {
	if c.Pin != "" {
		return fmt.Sprintf("pin %s (%s)", c.Pin, c.Mode)
	}
	return fmt.Sprintf("%s is told %q every %s while the heat may stay on, else %q", c.Topic, c.On, spoken(c.Every), c.Off)
}

func (s *Site) explainContacts(b *strings.Builder) {
	for _, contact := range s.Contacts {
		fmt.Fprintf(b, "Contact %s: alarms %s, through %s", contact.Name, upward(contact.Least), and(contact.Channels))
		if contact.Quiet != (Quiet{}) {
			fmt.Fprintf(b, "; quiet %s, when only high and critical ones wake", contact.Quiet)
		}
		b.WriteString(".\n")
	}
	bath := s.Baths[0].Name
	s.explainCase(b, bath+" boils dry", rules.BoilingDry)
	s.explainCase(b, bath+" wants water", rules.TopUpDue)
}

// explainCase tells who hears of one alarm when nobody answers.
func (s *Site) explainCase(b *strings.Builder, what string, id rules.ID) {
	priority := alarm.Of(id).Priority
	fmt.Fprintf(b, "If %s (%s): ", what, priority)
	var steps []string
	after := time.Duration(0)
	for _, contact := range s.Contacts {
		if contact.Least > priority {
			continue
		}
		when := "at once"
		if after > 0 {
			when = "after " + spoken(after)
		}
		steps = append(steps, fmt.Sprintf("%s %s through %s", contact.Name, when, and(contact.Channels)))
		if len(steps) == 1 && priority >= alarm.High {
			steps[0] += ", again every " + spoken(s.Phone.Repeat)
		}
		after += contact.Wait
	}
	if len(steps) == 0 {
		b.WriteString("nobody is called.\n")
		return
	}
	fmt.Fprintf(b, "%s; until somebody answers.\n", strings.Join(steps, "; "))
}

// upward says which priorities count.
func upward(least alarm.Priority) string {
	switch least {
	case alarm.Low:
		return "of every priority"
	case alarm.Critical:
		return "of critical priority only"
	}
	return "of " + least.String() + " priority and above"
}

// spoken writes a whole number of seconds or minutes.
func spoken(d time.Duration) string {
	if d >= time.Minute && d%time.Minute == 0 {
		return fmt.Sprintf("%d min", d/time.Minute)
	}
	return fmt.Sprintf("%d s", d/time.Second)
}

// and joins names as a sentence does.
func and(names []string) string {
	last := len(names) - 1
	if last < 1 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:last], ", ") + " and " + names[last]
}
