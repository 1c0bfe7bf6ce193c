package site

import (
	"fmt"
	"time"

	"bainward/rules/alarm"
)

// Phone is what all calls to people have in common.
type Phone struct {
	Address string        // how phones reach the pages, without a slash at the end; empty: messages have no link
	Repeat  time.Duration // an unanswered high or critical alarm is sent again so often
	Subject string        // mailto: or https:, whom a push service may write to (RFC 8292, 2.1)
}

// ChannelKind says how a channel carries messages.
type ChannelKind uint8

// The kinds of channel.
const (
	PushChannel    ChannelKind = iota // Web Push to the devices of one contact
	ServiceChannel                    // a message service, by its address
	MailChannel                       // SMTP
	WebhookChannel                    // a signed POST
	PinChannel                        // a buzzer or lamp on a pin
)

var channelWords = [...]string{"push", "service", "mail", "webhook", "pin"}

// String returns the word of the site file.
func (k ChannelKind) String() string {
	if int(k) < len(channelWords) {
		return channelWords[k]
	}
	return fmt.Sprintf("channel-kind-%d", k)
}

// Channel is one way to a person. Fields that its kind does not name are zero.
type Channel struct {
	Kind    ChannelKind
	Name    string
	Contact string    // PushChannel: whose devices
	URL     SecretRef // ServiceChannel, WebhookChannel
	Key     SecretRef // WebhookChannel: at least MinKey bytes, signs what is sent
	Picture bool      // MailChannel, WebhookChannel: the last half hour goes along
	Mail    Mail      // MailChannel
	Pin     Pin       // PinChannel
}

// MailTLS says how the way to the mail server is kept private.
type MailTLS uint8

// The ways.
const (
	StartTLS MailTLS = iota // begins in the clear (RFC 3207); without it nothing is sent
	TLS                     // from the first byte (RFC 8314)
	NoTLS                   // only to this machine
)

var tlsWords = [...]string{"starttls", "tls", "none"}

// String returns the word of the site file.
func (m MailTLS) String() string {
	if int(m) < len(tlsWords) {
		return tlsWords[m]
	}
	return fmt.Sprintf("mail-tls-%d", m)
}

// Mail is an account at a mail server, and who writes to whom.
type Mail struct {
	Host     string
	Port     int
	TLS      MailTLS
	User     string    // empty: without an account
	Password SecretRef // of User
	From     string    // a bare address
	To       []string  // bare addresses, at least one
}

// Pin is an output pin with a buzzer, a lamp or a relay.
type Pin struct {
	Name   string // such as GPIO17
	Low    bool   // active when low
	Least  alarm.Priority
	Steady bool // simply on, without a pattern
}

// Contact is a person who is called.
type Contact struct {
	Name     string
	Channels []string      // names, at least one
	Wait     time.Duration // unanswered so long, the next contact is called too
	Least    alarm.Priority
	Quiet    Quiet
}

// Quiet is a span of the day in local time, from its first minute to before its
// last, both in minutes since midnight. It may run across midnight. The zero
// Quiet holds no minute.
type Quiet struct{ From, To int }

// Holds reports whether the minute of the day lies in q.
func (q Quiet) Holds(minute int) bool {
	if q.From <= q.To {
		return q.From <= minute && minute < q.To
	}
	return minute >= q.From || minute < q.To
}

// String writes q as the site file does.
func (q Quiet) String() string {
	return fmt.Sprintf("%02d:%02d-%02d:%02d", q.From/60, q.From%60, q.To/60, q.To%60)
}

// Heartbeat is an address that is told again and again that the daemon lives.
// Whoever listens there notices when it stops.
type Heartbeat struct {
	URL   SecretRef
	Every time.Duration
}

// CutoutMode says what a cut-out's pin does while the heat may stay on.
type CutoutMode uint8

// The modes. NoMode is that of a cut-out through the broker.
const (
	NoMode CutoutMode = iota
	PulseMode
	LevelMode
)

var modeWords = [...]string{"", "pulse", "level"}

// String returns the word of the site file.
func (m CutoutMode) String() string {
	if int(m) < len(modeWords) {
		return modeWords[m]
	}
	return fmt.Sprintf("cutout-mode-%d", m)
}

// Cutout takes the heat from a bath: by a pin, or by a topic of the broker. It
// is no substitute for a safety device.
type Cutout struct {
	Bath  string
	Pin   string // such as GPIO27; empty: by Topic
	Mode  CutoutMode
	Topic string
	On    string // what is published while the heat may stay on
	Off   string
	Every time.Duration // the topic is told again so often
}
