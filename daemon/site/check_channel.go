package site

import (
	"net"
	"slices"
	"strings"

	"bainward/rules/alarm"
)

func (c *checker) channels(tables []channelTable, pins takenPins) []Channel {
	seen := map[string]int{}
	channels := make([]Channel, 0, len(tables))
	for i, t := range tables {
		path := element("channel", i)
		c.name(path, t.Name, "what contacts call this channel", seen)
		channels = append(channels, c.channel(path, t, pins))
	}
	return channels
}

// kindKeys are the keys that mean something for a kind, besides name and kind.
var kindKeys = [...][]string{
	PushChannel:    {"contact"},
	ServiceChannel: {"url_file", "url_env"},
	MailChannel:    {"host", "port", "tls", "user", "password_file", "password_env", "from", "to", "picture"},
	WebhookChannel: {"url_file", "url_env", "key_file", "key_env", "picture"},
	PinChannel:     {"pin", "active", "least", "steady"},
}

func (c *checker) channel(path string, t channelTable, pins takenPins) Channel {
	ch := Channel{Name: t.Name, Picture: t.Picture}
	kind := slices.Index(channelWords[:], t.Kind)
	if kind < 0 {
		c.addf(path+".kind", "kind = %q must be push, service, mail, webhook or pin", t.Kind)
		return ch
	}
	ch.Kind = ChannelKind(kind)
	for _, keys := range kindKeys {
		c.without(path, "a channel of kind "+quoted(t.Kind), slices.DeleteFunc(slices.Clone(keys), func(key string) bool {
			return slices.Contains(kindKeys[kind], key)
		})...)
	}
	switch ch.Kind {
	case PushChannel:
		ch.Contact = t.Contact
		if t.Contact == "" {
			c.addf(path+".contact", "contact is missing: whose devices get these messages")
		}
	case ServiceChannel:
		ch.URL = c.secret(path, "url", t.URLFile, t.URLEnv, "the address of the service", serviceAddress)
	case MailChannel:
		ch.Mail = c.mail(path, t)
	case WebhookChannel:
		ch.URL = c.secret(path, "url", t.URLFile, t.URLEnv, "the address to send to", webAddress)
		ch.Key = c.secret(path, "key", t.KeyFile, t.KeyEnv, "the key that signs what is sent", signingKey)
	case PinChannel:
		ch.Pin = c.channelPin(path, t, pins)
	}
	return ch
}

// defaultPinLeast: a buzzer that sounds for what can wait is soon unplugged.
const defaultPinLeast = alarm.Medium

func (c *checker) channelPin(path string, t channelTable, pins takenPins) Pin {
	if !c.given(path + ".pin") {
		c.addf(path, "pin is missing: where the buzzer or lamp is, such as \"GPIO17\"")
	}
	if c.given(path+".active") && t.Active != "high" && t.Active != "low" {
		c.addf(path+".active", `active = %q must be "high" or "low": the level at which it sounds or lights`, t.Active)
	}
	return Pin{
		Name:   c.pin(join(path, "pin"), t.Pin, pins),
		Low:    t.Active == "low",
		Least:  c.priority(path, "least", t.Least, defaultPinLeast),
		Steady: t.Steady,
	}
}

// Ports of mail servers: 25 (RFC 5321), 465 with TLS from the first byte
// (RFC 8314), 587 for sending with an account (RFC 6409).
var mailPorts = [...]int64{StartTLS: 587, TLS: 465, NoTLS: 25}

// maxTo keeps a slip from becoming a mailing list.
const maxTo = 20

func (c *checker) mail(path string, t channelTable) Mail {
	m := Mail{Host: t.Host, User: t.User, From: t.From, To: t.To}
	m.TLS = c.mailTLS(path, t)
	if strings.TrimSpace(t.Host) == "" {
		c.addf(path+".host", "host is missing: the mail server")
	} else if strings.ContainsAny(t.Host, "/@: \t") && net.ParseIP(t.Host) == nil {
		c.addf(path+".host", "host must be the name of the mail server alone, such as \"mail.alder-yard.example\"")
	}
	port := mailPorts[m.TLS]
	if c.given(path + ".port") {
		port = t.Port
	}
	if port < 1 || port > 65535 {
		c.addf(path+".port", "port = %d must be from 1 to 65535", port)
		port = mailPorts[m.TLS]
	}
	m.Port = int(port)
	m.Password = c.account(path, t)
	c.letters(path, t)
	return m
}

func (c *checker) mailTLS(path string, t channelTable) MailTLS {
	if !c.given(path + ".tls") {
		return StartTLS
	}
	i := slices.Index(tlsWords[:], t.TLS)
	switch {
	case i < 0:
		c.addf(path+".tls", `tls = %q must be "starttls", "tls" or "none"`, t.TLS)
		return StartTLS
	case MailTLS(i) == NoTLS && !loopback(net.JoinHostPort(t.Host, "25")):
		c.addf(path+".tls", `tls = "none" sends the password in the clear: only to localhost`)
	}
	return MailTLS(i)
}

// account checks the user and where the password is; both or neither.
func (c *checker) account(path string, t channelTable) SecretRef {
	password := c.given(path+".password_file") || c.given(path+".password_env")
	switch user := t.User != ""; {
	case !user && password:
		c.addf(path, "user is missing: whose password it is")
	case !user && c.given(path+".user"):
		c.addf(path+".user", "user is empty: name the account, or leave the key out")
	}
	if t.User == "" && !password {
		return SecretRef{}
	}
	return c.secret(path, "password", t.PasswordFile, t.PasswordEnv, "the password of user", anything)
}

// letters checks who writes to whom.
func (c *checker) letters(path string, t channelTable) {
	if !mailAddress(t.From) {
		c.addf(path+".from", "from = %q must be one mail address, such as \"bainward@alder-yard.example\"", t.From)
	}
	if len(t.To) == 0 || len(t.To) > maxTo {
		c.addf(path+".to", "to must list 1 to %d mail addresses, such as [\"robin@alder-yard.example\"]", maxTo)
	}
	for i, to := range t.To {
		key := element(path+".to", i)
		switch {
		case !mailAddress(to):
			c.addf(key, "to holds %q, which is no mail address", to)
		case slices.Contains(t.To[:i], to):
			c.addf(key, "to holds %q twice", to)
		}
	}
}
