package push

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"bainward/daemon/phone/notice"
)

// channel carries notices to all phones of one contact.
type channel struct {
	office        *Office
	name, contact string
}

// Channel returns the channel called name. It sends to the phones of contact;
// if contact is empty, to those of the contact named in each notice.
func (o *Office) Channel(name, contact string) notice.Channel {
	return &channel{office: o, name: name, contact: contact}
}

func (c *channel) Name() string { return c.name }

// Send hands n to every phone of the contact at once. It is delivered if one of
// them took it. Phones that are gone are taken off the list.
func (c *channel) Send(ctx context.Context, n notice.Notice) (string, error) {
	contact := c.contact
	if contact == "" {
		contact = n.Contact
	}
	devices := of(c.office.list(), contact)
	if len(devices) == 0 {
		return "", &notice.Failure{Err: nobody(contact), Final: true}
	}
	message, err := encode(n, c.office.picture(n))
	if err != nil {
		return "", &notice.Failure{Err: err, Final: true}
	}
	tries := c.office.deliverAll(ctx, devices, n, message)
	return tally(contact, tries, c.office.dropGone(tries))
}

func nobody(contact string) error {
	return fmt.Errorf("no phone is signed up for %s: open the page on the phone and press %q", contact, "Call this phone")
}

// try is what became of one phone.
type try struct {
	device device
	err    error
}

func (t try) gone() bool { return errors.Is(t.err, errGone) }

func (o *Office) deliverAll(ctx context.Context, devices []device, n notice.Notice, message []byte) []try {
	tries := make([]try, len(devices))
	var all sync.WaitGroup
	for i, d := range devices {
		all.Go(func() { tries[i] = try{device: d, err: o.deliver(ctx, d, n, message)} })
	}
	all.Wait()
	return tries
}

// dropGone signs off the phones whose subscription has ended.
func (o *Office) dropGone(tries []try) error {
	gone := slices.DeleteFunc(slices.Clone(tries), func(t try) bool { return !t.gone() })
	if len(gone) == 0 {
		return nil
	}
	return o.remove(func(d device) bool {
		return slices.ContainsFunc(gone, func(t try) bool { return t.device.endpoint == d.endpoint })
	})
}

// tally sums up the tries, in words for the record.
func tally(contact string, tries []try, unwritten error) (string, error) {
	took, gone := 0, 0
	var said []string
	for _, t := range tries {
		switch {
		case t.err == nil:
			took++
		case t.gone():
			gone++
			said = append(said, t.device.Name+" is gone and signed off")
		default:
			said = append(said, t.device.Name+": "+t.err.Error())
		}
	}
	if unwritten != nil {
		said = append(said, unwritten.Error())
	}
	head := fmt.Sprintf("%d of %d devices took it", took, len(tries))
	answer := strings.Join(append([]string{head}, said...), "; ")
	if took > 0 {
		return answer, nil
	}
	if gone == len(tries) {
		answer += "; " + nobody(contact).Error()
	}
	return "", sumUp(errors.New(answer), tries)
}

// sumUp says what the failed tries mean for the next one: it makes sense if it
// does for one phone, as soon as the first of these may be tried again.
func sumUp(cause error, tries []try) error {
	all := &notice.Failure{Err: cause, Final: true}
	waits := make([]time.Duration, 0, len(tries))
	for _, t := range tries {
		f, known := errors.AsType[*notice.Failure](t.err)
		if known && f.Final {
			continue
		}
		all.Final = false
		if known {
			waits = append(waits, f.After)
		} else {
			waits = append(waits, 0)
		}
	}
	if len(waits) > 0 {
		all.After = slices.Min(waits)
	}
	return all
}
