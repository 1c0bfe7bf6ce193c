package webhook

import (
	"encoding/json"
	"time"

	"bainward/daemon/phone/notice"
)

// version is the version of the document. A new field does not change it; another
// meaning of a field does.
const version = 1

// form is the document. WEBHOOK.md has the same fields in the same order, and a
// test holds the two together.
type form struct {
	Version  int    `json:"version"`
	ID       string `json:"id"`
	Call     string `json:"call"`
	Kind     string `json:"kind"`
	Contact  string `json:"contact"`
	Channel  string `json:"channel"`
	Site     string `json:"site"`
	Bath     string `json:"bath"`
	Alarm    string `json:"alarm"`
	Priority string `json:"priority"`
	Title    string `json:"title"`
	Text     string `json:"text"`
	Link     string `json:"link"`
	At       string `json:"at"`
	Quiet    bool   `json:"quiet"`
	Picture  []byte `json:"picture,omitempty"` // base64 (RFC 4648 4) in JSON
}

// document is the notice as JSON (RFC 8259).
func document(n notice.Notice, png []byte) ([]byte, error) {
	f := form{
		Version: version, ID: n.ID, Call: n.Call, Kind: n.Kind.String(), Contact: n.Contact, Channel: n.Channel,
		Site: n.Site, Bath: n.Bath, Alarm: n.Alarm, Priority: n.Priority.String(),
		Title: n.Title, Text: n.Text, Link: n.Link, Quiet: n.Quiet, Picture: png,
	}
	if !n.Wall.IsZero() {
		f.At = n.Wall.Format(time.RFC3339)
	}
	return json.Marshal(f)
}
