package site

import (
	"net"
	"net/url"
	"strings"
)

// I²C addresses that the chips can be set to (data sheets DS2482-100,
// DS2482-800 and DS2483; BMP280 and BME280; all from memory).
const (
	minBridge, maxBridge       = 0x18, 0x1F
	minBarometer, maxBarometer = 0x76, 0x77
	maxChannel                 = 7
)

func (c *checker) wires(tables []wireTable) []Wire {
	if len(tables) == 0 {
		return []Wire{{Kind: KernelWire}}
	}
	seen := map[string]int{}
	places := map[Wire]int{}
	wires := make([]Wire, 0, len(tables))
	for i, t := range tables {
		path := element("wire", i)
		w := c.wire(path, t)
		place := w
		place.Name, place.Channel = "", 0
		if line := places[place]; line > 0 {
			c.addf(path, "this wire is read on line %d already: name each wire once, and one channel of each bridge", line)
		}
		places[place] = c.outline.line(path)
		if c.given(path + ".name") {
			c.name(path, t.Name, "leave it out, or say what baths call this wire", seen)
		}
		wires = append(wires, w)
	}
	return wires
}

func (c *checker) wire(path string, t wireTable) Wire {
	w := Wire{Name: t.Name, Root: t.Root, Bus: t.Bus, Channel: int(t.Channel)}
	switch t.Kind {
	case "kernel":
		c.without(path, `a wire of kind "kernel"`, "bus", "address", "channel")
	case "bridge":
		w.Kind = BridgeWire
		w.Bus, w.Address = c.chip(path, t.Bus, t.Address, minBridge, maxBridge)
		c.within(path, "channel", float64(t.Channel), 0, maxChannel)
		c.without(path, `a wire of kind "bridge"`, "root")
	default:
		c.addf(path+".kind", `kind = %q must be "kernel" (the computer's own 1-Wire pin) or "bridge" (a DS248x chip)`, t.Kind)
	}
	return w
}

func (c *checker) barometer(t barometerTable) *Barometer {
	if !c.given("barometer") {
		return nil
	}
	bus, address := c.chip("barometer", t.Bus, t.Address, minBarometer, maxBarometer)
	return &Barometer{Bus: bus, Address: address}
}

// chip checks where on which I²C bus a chip answers; lo is the usual address.
func (c *checker) chip(path, bus string, address, lo, hi int64) (string, uint16) {
	if bus == "" {
		c.addf(path+".bus", `bus is missing: the name of the I²C bus, such as "1" for /dev/i2c-1`)
	}
	switch key := path + ".address"; {
	case !c.given(key):
		address = lo
	case address < lo || address > hi:
		c.addf(key, "address = %#x must be from %#x to %#x", address, lo, hi)
		address = lo
	}
	return bus, uint16(address)
}

// without complains about keys that mean nothing in what.
func (c *checker) without(path, what string, keys ...string) {
	for _, key := range keys {
		if c.given(join(path, key)) {
			c.addf(join(path, key), "%s means nothing for %s", key, what)
		}
	}
}

func (c *checker) broker(t brokerTable, people []personTable) *Broker {
	if !c.given("broker") {
		return nil
	}
	b := &Broker{Name: t.Name, PasswordFile: t.PasswordFile, Topic: DefaultTopic}
	switch url, embedded := c.given("broker.url"), c.given("broker.embedded"); {
	case url && embedded:
		c.addf("broker.embedded", "embedded and url exclude each other: either serve a broker or use one")
	case url:
		b.URL = c.brokerURL(t.URL)
	case embedded:
		b.Embedded = c.hostPort("broker", "embedded", t.Embedded)
		if t.Name == "" && !loopback(b.Embedded) {
			c.addf("broker.embedded", "embedded = %q lets other machines in: give name and password_file, or serve at 127.0.0.1", t.Embedded)
		}
	default:
		c.addf("broker", "url or embedded is missing: the broker to use, or host:port at which to serve one")
	}
	if (t.Name == "") != (t.PasswordFile == "") {
		c.addf("broker", "name and password_file go together: give both or neither")
	}
	b.Orders, b.OrdersKey = c.orders(t, people)
	if c.given("broker.topic") {
		b.Topic = c.topic(t.Topic)
	}
	return b
}

// loopback reports whether only this machine reaches hostPort.
func loopback(hostPort string) bool {
	host, _, _ := net.SplitHostPort(hostPort)
	return host == "localhost" || net.ParseIP(host).IsLoopback()
}

// brokerURL checks a URL and gives it the port of its scheme if it has none
// (IANA: 1883 mqtt, 8883 secure-mqtt). A faulty URL is not repeated whole: it
// may hold a password.
func (c *checker) brokerURL(text string) string {
	u, err := url.Parse(text)
	ports := map[string]string{"mqtt": "1883", "mqtts": "8883"}
	switch {
	case err != nil || u.Hostname() == "" || ports[u.Scheme] == "":
		c.addf("broker.url", `url must be mqtt://host:port or mqtts://host:port`)
		return text
	case u.User != nil:
		c.addf("broker.url", "url must not hold a name or password: use name and password_file")
		return ""
	case u.Path != "" && u.Path != "/" || u.RawQuery != "" || u.Fragment != "":
		c.addf("broker.url", "url must end after the port: the topics' prefix has its own key, topic")
	}
	if u.Port() == "" {
		u.Host += ":" + ports[u.Scheme]
	}
	return u.Scheme + "://" + u.Host
}

// topic checks the prefix of topics (MQTT 3.1.1 §4.7: no wildcards, no NUL, and
// $ begins topics of the broker itself).
func (c *checker) topic(prefix string) string {
	if prefix == "" || len(prefix) > 100 || strings.HasPrefix(prefix, "$") ||
		strings.ContainsFunc(strings.ReplaceAll(prefix, "/", ""), unfitForTopic) ||
		strings.HasPrefix(prefix, "/") || strings.HasSuffix(prefix, "/") || strings.Contains(prefix, "//") {
		c.addf("broker.topic", "topic = %q must be words separated by /, without + and # and not beginning with $, such as %q", prefix, DefaultTopic)
	}
	return prefix
}

// listed writes names for people: "named: a, b", or "none is named".
func listed(word string, names []string) string {
	if len(names) == 0 {
		return "none is " + word
	}
	return word + ": " + strings.Join(names, ", ")
}
