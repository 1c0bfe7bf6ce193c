package push

import (
	"fmt"
	"net/http"
	"net/mail"
	"net/url"
	"os"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"bainward/daemon/phone/notice"
)

// The files in the office's folder.
const (
	keyFile     = "push-key.json"
	devicesFile = "push-devices.json"
)

// patience is how long one phone's push service may take. Those in use answer
// within a second (common practice, no source).
const patience = 10 * time.Second

// Office holds the key, knows the signed-up phones, and sends to them. It is
// safe for concurrent use. Only one may be open on a folder.
type Office struct {
	key      key
	subject  string
	loopback bool
	picture  func(notice.Notice) string
	client   *http.Client

	file     file
	changing sync.Mutex // held over a change of the list and its file
	devices  atomic.Pointer[[]device]
}

// Format prints no key: see device.Format.
func (o *Office) Format(f fmt.State, _ rune) {
	fmt.Fprintf(f, "push office with %d devices", len(o.list()))
}

// Option changes how an office works.
type Option func(*Office)

// AllowLoopback lets endpoints lie on this very machine, for tests and for a
// push service of one's own behind a proxy. Other addresses inside the house
// stay refused.
func AllowLoopback() Option { return func(o *Office) { o.loopback = true } }

// Pictures names the path of a picture that the phone may fetch from the page's
// host and show with a notice; "" is none. Without this option there is none.
func Pictures(path func(notice.Notice) string) Option {
	return func(o *Office) { o.picture = path }
}

// Open opens the office in dir, which is made if need be. On the first start it
// makes the key; a damaged file is an error and stays as it is. Subject is
// where the makers of push services can reach the sender, "mailto:..." or
// "https://..." (RFC 8292, 2.1); they see it with every message.
func Open(dir, subject string, options ...Option) (*Office, error) {
	if err := checkSubject(subject); err != nil {
		return nil, err
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, fmt.Errorf("open push office: %w", err)
	}
	o := &Office{
		subject: subject, file: newFile(dir, devicesFile),
		picture: func(notice.Notice) string { return "" },
	}
	for _, option := range options {
		option(o)
	}
	o.client = newClient(o.loopback)
	var err error
	if o.key, err = openKey(newFile(dir, keyFile)); err != nil {
		return nil, err
	}
	all, err := readDevices(o.file, o.loopback)
	if err != nil {
		return nil, err
	}
	o.devices.Store(&all)
	return o, nil
}

func checkSubject(subject string) error {
	if address, ok := strings.CutPrefix(subject, "mailto:"); ok {
		if a, err := mail.ParseAddress(address); err == nil && a.Address == address {
			return nil
		}
	}
	if u, err := url.Parse(subject); err == nil && u.Scheme == "https" && u.Host != "" {
		return nil
	}
	return fmt.Errorf("open push office: subject %q is neither mailto:ADDRESS nor https://HOST: push services ask for one", subject)
}

// Key is the public key for which a browser signs up, base64url without
// padding: the applicationServerKey of the W3C Push API.
func (o *Office) Key() string { return o.key.public }

// SignUp adds a phone of contact, or changes one with the same endpoint.
// Subscription is what PushSubscription.toJSON() gives; name is what the owner
// calls the phone. It is on disk when SignUp returns nil. An error is a
// [*Refusal] if the fault is in what was sent.
func (o *Office) SignUp(contact, name string, subscription []byte) error {
	d, err := newDevice(contact, name, subscription, o.loopback)
	if err != nil {
		return fmt.Errorf("sign up phone: %w", err)
	}
	err = o.change(func(all []device) ([]device, error) { return with(all, d) })
	if err != nil {
		return fmt.Errorf("sign up phone: %w", err)
	}
	return nil
}

// Replace puts a new subscription in the place of the one at endpoint, whose
// contact and name it keeps: a browser changes its subscription when it likes,
// without anyone at the phone.
func (o *Office) Replace(endpoint string, subscription []byte) error {
	err := o.change(func(all []device) ([]device, error) {
		i := slices.IndexFunc(all, at(notice.NewSecret(endpoint)))
		if i < 0 {
			return nil, refuse("the phone is not signed up: open the page on it and sign it up")
		}
		d, err := newDevice(all[i].Contact, all[i].Name, subscription, o.loopback)
		if err != nil {
			return nil, err
		}
		d.Added = all[i].Added
		return with(slices.Delete(all, i, i+1), d)
	})
	if err != nil {
		return fmt.Errorf("replace subscription of phone: %w", err)
	}
	return nil
}

// SignOff takes the phone at endpoint off the list. One that is not there is
// signed off already.
func (o *Office) SignOff(endpoint string) error {
	return o.remove(at(notice.NewSecret(endpoint)))
}

// At returns the phone at endpoint, if it is signed up.
func (o *Office) At(endpoint string) (Device, bool) {
	all := o.list()
	i := slices.IndexFunc(all, at(notice.NewSecret(endpoint)))
	if i < 0 {
		return Device{}, false
	}
	return all[i].Device, true
}

// Forget takes the phone with this ID off the list, a lost one say. If it opens
// the page again, it signs itself up again.
func (o *Office) Forget(id string) error {
	return o.remove(func(d device) bool { return d.ID == id })
}

func (o *Office) remove(which func(device) bool) error {
	err := o.change(func(all []device) ([]device, error) { return slices.DeleteFunc(all, which), nil })
	if err != nil {
		return fmt.Errorf("sign off phone: %w", err)
	}
	return nil
}

// Devices lists the phones of contact, of everyone if it is empty, oldest first.
func (o *Office) Devices(contact string) []Device {
	var shown []Device
	for _, d := range o.list() {
		if contact == "" || d.Contact == contact {
			shown = append(shown, d.Device)
		}
	}
	return shown
}
