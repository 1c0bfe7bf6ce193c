package push

import (
	"fmt"
	"slices"
	"time"

	"bainward/daemon/phone/notice"
)

// How many phones are kept. The page is open to the whole house, so a list that
// only grows would be a way to fill the disk, and to slow down every alarm.
const (
	maxPerContact = 20
	maxDevices    = 200
)

type devicesOnDisk struct {
	Devices []deviceOnDisk `json:"devices"`
}

type deviceOnDisk struct {
	Contact  string    `json:"contact"`
	Name     string    `json:"name"`
	Added    time.Time `json:"added"`
	Endpoint string    `json:"endpoint"`
	P256dh   string    `json:"p256dh"`
	Auth     string    `json:"auth"`
}

func readDevices(f file, loopback bool) ([]device, error) {
	var disk devicesOnDisk
	_, err := f.read(&disk)
	var all []device
	for i, d := range disk.Devices {
		known := device{
			Device:   Device{ID: idOf(d.Endpoint), Contact: d.Contact, Name: d.Name, Added: d.Added},
			endpoint: notice.NewSecret(d.Endpoint), p256dh: notice.NewSecret(d.P256dh), auth: notice.NewSecret(d.Auth),
		}
		if bad := known.check(loopback); bad != nil && err == nil {
			err = f.damaged(fmt.Errorf("device %d: %w", i+1, bad))
		}
		all = append(all, known)
	}
	if err != nil {
		return nil, fmt.Errorf("open signed-up phones: %w: bring it back from a backup; or move it away and start again, and open the page on every phone", err)
	}
	return all, nil
}

func writeDevices(f file, all []device) error {
	disk := devicesOnDisk{Devices: []deviceOnDisk{}}
	for _, d := range all {
		disk.Devices = append(disk.Devices, deviceOnDisk{
			Contact: d.Contact, Name: d.Name, Added: d.Added,
			Endpoint: d.endpoint.Reveal(), P256dh: d.p256dh.Reveal(), Auth: d.auth.Reveal(),
		})
	}
	return f.write(disk)
}

// with returns all with d in it, in the place of the device of the same
// endpoint if there is one.
func with(all []device, d device) ([]device, error) {
	if i := slices.IndexFunc(all, at(d.endpoint)); i >= 0 {
		d.Added = all[i].Added
		all[i] = d
	} else {
		all = append(all, d)
	}
	if n := len(of(all, d.Contact)); n > maxPerContact {
		return nil, refuse("%s has %d phones already: sign one off first", d.Contact, maxPerContact)
	}
	if len(all) > maxDevices {
		return nil, refuse("%d phones are signed up already: sign one off first", maxDevices)
	}
	return all, nil
}

func at(endpoint notice.Secret) func(device) bool {
	return func(d device) bool { return d.endpoint == endpoint }
}

// of returns the devices of one contact, oldest first.
func of(all []device, contact string) []device {
	var own []device
	for _, d := range all {
		if d.Contact == contact {
			own = append(own, d)
		}
	}
	return own
}

// list returns the devices as they stand. The slice is never changed.
func (o *Office) list() []device { return *o.devices.Load() }

// change puts edit's result in the place of the list, on disk and then in
// memory. A notice on its way never waits for the disk: it reads the old list.
func (o *Office) change(edit func([]device) ([]device, error)) error {
	o.changing.Lock()
	defer o.changing.Unlock()
	old := o.list()
	next, err := edit(slices.Clone(old))
	if err != nil || slices.Equal(old, next) {
		return err
	}
	if err := writeDevices(o.file, next); err != nil {
		return err
	}
	o.devices.Store(&next)
	return nil
}
