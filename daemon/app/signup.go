package app

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"

	"bainward/daemon/phone/push"
	"bainward/daemon/record"
)

// Signing phones up and off: methods of web.Phones. Who is called when a bath is in
// trouble, and who saw to that, is in the record. The phone's address is not: who
// knows it can ring it.

var errNoPush = errors.New("this site sends no push messages: its site file has no channel of the kind push")

// Contacts may sign up phones for push messages.
func (a *App) Contacts() []string {
	var names []string
	for _, c := range a.phones.Plan.Contacts {
		if slices.ContainsFunc(c.Channels, func(ch string) bool { return a.phones.Kinds[ch] == "push" }) {
			names = append(names, c.Name)
		}
	}
	return names
}

// PushKey is the public key of our push messages, empty if there are none.
func (a *App) PushKey() string {
	if a.phones.Office == nil {
		return ""
	}
	return a.phones.Office.Key()
}

// SignUp adds a phone.
func (a *App) SignUp(ctx context.Context, contact, device string, subscription []byte, who string) error {
	if a.phones.Office != nil && !slices.Contains(a.Contacts(), contact) {
		return fmt.Errorf("sign up a phone of %q: nobody of that name has a push channel in the site file", contact)
	}
	return a.changePhones(ctx, func(o *push.Office) (b record.Phone, err error) {
		return record.Phone{What: "signed up", Contact: contact, Device: device, By: orSomebody(who)}, o.SignUp(contact, device, subscription)
	})
}

// SignOff forgets a phone. One that is not known leaves no entry: nothing changed.
func (a *App) SignOff(ctx context.Context, endpoint, who string) error {
	return a.changePhones(ctx, func(o *push.Office) (b record.Phone, err error) {
		if d, known := o.At(endpoint); known {
			b = record.Phone{What: "signed off", Contact: d.Contact, Device: d.Name, By: orSomebody(who)}
		}
		return b, o.SignOff(endpoint)
	})
}

// Renew puts a newer subscription in the place of an endpoint's.
func (a *App) Renew(ctx context.Context, endpoint string, subscription []byte, who string) error {
	return a.changePhones(ctx, func(o *push.Office) (b record.Phone, err error) {
		if d, known := o.At(endpoint); known {
			b = record.Phone{What: "renewed", Contact: d.Contact, Device: d.Name, By: orSomebody(who)}
		}
		return b, o.Replace(endpoint, subscription)
	})
}

// phoneInWords says on one line whose phone is called from now on, or no more. A
// browser that renews its subscription by itself is no news.
func phoneInWords(b record.Phone) string {
	if b.What == "renewed" {
		return ""
	}
	whose := cmp.Or(b.Contact, "somebody")
	if b.Device != "" {
		whose += " (" + b.Device + ")"
	}
	return "phone of " + whose + " " + b.What + ", " + b.By
}

// changePhones changes the list of phones and records it. The list comes first: it
// may refuse, and an entry would stand there for nothing. If then the record cannot be
// written, the person is told, and does it again.
func (a *App) changePhones(ctx context.Context, do func(*push.Office) (record.Phone, error)) error {
	if a.phones.Office == nil {
		return errNoPush
	}
	return a.ask(ctx, "", func(_ context.Context, d *draft, _ *bath) error {
		b, err := do(a.phones.Office)
		if err == nil && b != (record.Phone{}) {
			d.add("", b)
		}
		return err
	})
}
