package w1_test

import (
	"io/fs"
	"path/filepath"
	"sync"
	"time"

	"bainward/sensors"
	"bainward/sensors/w1"
)

// How long the kernel takes at 12 bits: it waits out the data sheet's longest
// conversion (w1_therm.c); one byte on the wire takes about 0.6 ms.
const (
	conversion = 750 * time.Millisecond
	command    = 7 * time.Millisecond  // reset, address, convert
	reading    = 13 * time.Millisecond // reset, address, read, nine bytes
)

// kernel is a slow w1_therm in the place of sysfs, in a synctest bubble. All its
// probes say 27.5 °C.
type kernel struct {
	bulk     bool          // the lines have therm_bulk_read
	parasite bool          // the probes hold their line while they convert
	lazy     time.Duration // if not zero, a bulk write returns at once and the file says -1 this long

	homes map[string]*line // by the folder name of a line or a probe

	mu          sync.Mutex
	hangs       map[string]chan struct{} // by folder name
	outstanding map[string]int           // calls that have not returned, by path
	most        int                      // of them, for any one path
	conversions int
}

// line does one thing at a time, but is free while probes with their own supply
// convert.
type line struct {
	busy   chan struct{} // holds a token
	ready  time.Time     // when the last bulk conversion is over
	unread map[string]bool
}

// install puts k under the rig, with the probes on the line.
func (k *kernel) install(r *rig, master string, probes ...sensors.Address) {
	if k.homes == nil {
		k.homes, k.hangs, k.outstanding = map[string]*line{}, map[string]chan struct{}{}, map[string]int{}
		w1.SetKernel(r.wire, k.read, k.write)
	}
	l := &line{busy: make(chan struct{}, 1), unread: map[string]bool{}}
	k.homes[master] = l
	for _, a := range probes {
		r.link(master, a)
		k.homes[a.String()] = l
	}
}

// hang lets calls for files in a folder hang until release is called.
func (k *kernel) hang(folder string) (release func()) {
	k.mu.Lock()
	defer k.mu.Unlock()
	c := make(chan struct{})
	k.hangs[folder] = c
	return func() {
		k.mu.Lock()
		defer k.mu.Unlock()
		delete(k.hangs, folder)
		close(c)
	}
}

// enter counts a call in and holds it up if it is to hang; leave counts it out.
func (k *kernel) enter(path string) (leave func()) {
	k.mu.Lock()
	k.outstanding[path]++
	k.most = max(k.most, k.outstanding[path])
	hang := k.hangs[filepath.Base(filepath.Dir(path))]
	k.mu.Unlock()
	if hang != nil {
		<-hang
	}
	return func() {
		k.mu.Lock()
		defer k.mu.Unlock()
		k.outstanding[path]--
	}
}

func (k *kernel) read(path string) ([]byte, error) {
	defer k.enter(path)()
	folder, file := filepath.Base(filepath.Dir(path)), filepath.Base(path)
	l := k.homes[folder]
	switch {
	case file == "w1_slave":
		return k.slave(l, folder), nil
	case file == "ext_power" && k.parasite:
		return []byte("0\n"), nil
	case file == "ext_power":
		return []byte("1\n"), nil
	case file == "therm_bulk_read" && k.bulk && time.Now().Before(l.ready):
		return []byte("-1\n"), nil
	case file == "therm_bulk_read" && k.bulk:
		return []byte("1\n"), nil
	}
	return nil, fs.ErrNotExist
}

// slave reads a w1_slave: it converts, unless a bulk conversion has.
func (k *kernel) slave(l *line, folder string) []byte {
	l.busy <- struct{}{}
	defer func() { <-l.busy }()
	switch {
	case time.Now().Before(l.ready):
		return nil // converting: "retry later"
	case !l.unread[folder]:
		<-time.After(command)
		k.convert(l)
	}
	delete(l.unread, folder)
	<-time.After(reading)
	return []byte(text27_5)
}

// convert waits for one conversion. The caller holds the line.
func (k *kernel) convert(l *line) {
	k.mu.Lock()
	k.conversions++
	k.mu.Unlock()
	if k.parasite {
		<-time.After(conversion)
		return
	}
	<-l.busy
	<-time.After(conversion)
	l.busy <- struct{}{}
}

func (k *kernel) write(path string, text []byte) error {
	defer k.enter(path)()
	if !k.bulk {
		return fs.ErrNotExist
	}
	if filepath.Base(path) != "therm_bulk_read" || string(text) != "trigger\n" {
		return fs.ErrInvalid
	}
	l := k.homes[filepath.Base(filepath.Dir(path))]
	l.busy <- struct{}{}
	defer func() { <-l.busy }()
	for folder, home := range k.homes {
		l.unread[folder] = home == l
	}
	if k.lazy > 0 {
		l.ready = time.Now().Add(k.lazy)
		return nil
	}
	l.ready = time.Now().Add(conversion)
	k.convert(l)
	return nil
}

// counts returns how often probes converted, and how many calls for any one
// path were outstanding at most.
func (k *kernel) counts() (conversions, most int) {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.conversions, k.most
}
