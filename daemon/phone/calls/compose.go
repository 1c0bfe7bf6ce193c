package calls

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"bainward/daemon/phone/notice"
	"bainward/rules"
	"bainward/rules/alarm"
)

// compose turns what is due to a person through a channel into one notice.
func (s *step) compose(b *bundle) Due {
	gravest := b.items[0].call
	d := Due{Notice: notice.Notice{
		Contact: b.contact.Name, Channel: b.channel, Kind: b.kind(), Bath: gravest.bath,
		Priority: gravest.priority, Wall: gravest.wall, Quiet: b.quiet(s.now),
	}}
	names := make([]string, 0, len(b.items))
	for _, it := range b.items {
		d.Calls = append(d.Calls, it.call.id)
		names = append(names, words(it.call.name(), titleSize))
		if it.call.bath != gravest.bath {
			d.Bath = ""
		}
	}
	if len(b.items) == 1 {
		d.Alarm = gravest.alarm()
		d.Title = gravest.name()
		d.Title = words(d.Title, titleSize)
		d.Text = s.tellOne(b.items[0], d.Title)
	} else {
		d.Title = fmt.Sprintf("%s + %d more", words(gravest.name(), titleSize-len(" + 1000 more")), len(b.items)-1)
		d.Text = s.tellSeveral(gravest, names)
	}
	d.Title, d.Text = words(d.Title, titleSize), words(d.Text, textSize)
	return d
}

// worthTelling: who hears of a call so late should know that nobody answered.
const worthTelling = time.Minute

// tellOne says the fact, unless the title holds it whole, what to do now and the
// time left. The time left has its room first, then the fact, then as many
// sentences of advice as fit.
func (s *step) tellOne(it item, title string) string {
	fact, do, left := it.call.fact, it.call.do, ""
	if it.call.alarm() != "" {
		fact, do, left = s.said(it.call)
	}
	tail := words(sentence(left), textSize/3)
	if open := s.now.At - it.call.at; open >= worthTelling {
		tail = joined(tail, "Unanswered for "+rules.Minutes(open)+".")
	}
	head := words(sentence(fact), textSize/2)
	if strings.HasSuffix(title, fact) {
		head = ""
	}
	return fitted(head, do, tail)
}

// fitted puts as much of do between head and tail as has room.
func fitted(head, do, tail string) string {
	taken := utf8.RuneCountInString(joined(head, tail)) + 1
	return joined(head, sentences(do, textSize-taken), tail)
}

// said returns the words of an alarm's call as it stands at this instant. If
// nobody told that, they are those of its opening, and the time left is not
// known any more unless it opens now.
func (s *step) said(c *call) (fact, do, left string) {
	id, _ := rules.ParseID(c.what)
	for _, st := range slices.Backward(s.standing) {
		if st.Bath != c.bath || st.Alarm != id {
			continue
		}
		if st.State == alarm.Unacknowledged {
			return s.plan.say(id, st.Finding)
		}
		return c.fact, joined("It went away by itself, and nobody has seen it yet.", c.do), ""
	}
	return c.fact, c.do, ""
}

// tellSeveral lists the calls, the gravest first, and says what to do about that
// one.
func (s *step) tellSeveral(gravest *call, names []string) string {
	list, left := names[0], len(names)-1
	for _, name := range names[1:] {
		longer := list + " · " + name
		if utf8.RuneCountInString(longer) > textSize/2 {
			break
		}
		list, left = longer, left-1
	}
	if left > 0 {
		list += fmt.Sprintf(" · and %d more", left)
	}
	return fitted(list+".", gravest.do, "")
}

// composeOver tells one person that calls have ended.
func (s *step) composeOver(ended []owed) Due {
	first := &ended[0]
	d := Due{Notice: notice.Notice{
		Contact: first.contact, Channel: first.channel, Kind: notice.Over, Bath: first.call.bath,
		Priority: first.call.priority, Wall: first.call.wall, Quiet: true,
	}}
	list := ""
	for i := range ended {
		o := &ended[i]
		d.Calls = append(d.Calls, o.call.id)
		d.Priority = max(d.Priority, o.call.priority)
		if o.call.bath != first.call.bath {
			d.Bath = ""
		}
		list = joined(list, o.call.name()+": "+o.why())
	}
	if len(ended) == 1 {
		d.Alarm = first.call.alarm()
		d.Title = "Over: " + words(first.call.name(), titleSize-len("Over: "))
		d.Text = words(sentence(first.why()), textSize)
		return d
	}
	d.Title = words(fmt.Sprintf("Over: %s + %d more", words(first.call.name(), titleSize-len("Over:  + 1000 more")), len(ended)-1), titleSize)
	d.Text = words(list, textSize)
	return d
}

// why says in a sentence how a call ended.
func (o *owed) why() string {
	who := o.who
	if who == "" {
		who = "somebody"
	}
	switch o.how {
	case Acknowledged:
		return "answered by " + who + ", nothing more to do."
	case Shelved:
		return "put off by " + who + ", who looks after it."
	case OutOfService:
		return "taken out of service by " + who + "."
	case Suppressed:
		return "does not apply any more."
	case Returned:
		return "went away by itself."
	}
	return "over."
}

// name is the bath and the fact, such as "north: boiling dry".
func (c *call) name() string {
	if c.bath == "" {
		return c.fact
	}
	return c.bath + ": " + c.fact
}

// alarm is the id of the call's alarm, empty for a matter.
func (c *call) alarm() string {
	if _, ok := rules.ParseID(c.what); ok && c.bath != "" {
		return c.what
	}
	return ""
}
