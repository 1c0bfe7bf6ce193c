package push

import (
	"bytes"
	"encoding/json"
	"errors"
	"sort"
	"strings"
	"time"

	"bainward/daemon/phone/notice"
)

// maxPayload is what fits into the one record of 4096 octets that every push
// service takes: less 86 of header, 16 of tag and 1 of padding (RFC 8291, 4).
const maxPayload = 3993

// payload is what wake.js on the phone is sent.
type payload struct {
	ID       string    `json:"id"`
	Kind     string    `json:"kind"`
	Title    string    `json:"title"`
	Text     string    `json:"text"`
	Link     string    `json:"link,omitempty"`
	Tag      string    `json:"tag,omitempty"` // a newer notification takes the place of an older one with it
	Priority string    `json:"priority"`
	Quiet    bool      `json:"quiet"`
	Picture  string    `json:"picture,omitempty"` // path on the page's host
	Wall     time.Time `json:"wall"`
}

var errTooBig = errors.New("the message does not fit into one push message, even without its text")

// encode writes n as JSON of at most maxPayload octets. What is too long loses
// first its picture, then the end of its text, then of its title; the link goes
// last, for it is what a person can still do.
func encode(n notice.Notice, picture string) ([]byte, error) {
	p := payload{
		ID: n.ID, Kind: n.Kind.String(), Title: n.Title, Text: n.Text, Link: n.Link, Tag: n.Call,
		Priority: n.Priority.String(), Quiet: n.Quiet, Picture: picture, Wall: n.Wall.UTC(),
	}
	for _, cut := range []func(){
		func() {},
		func() { p.Picture = "" },
		func() { p.shorten(&p.Text) },
		func() { p.shorten(&p.Title) },
		func() { p.Link = "" },
	} {
		cut()
		data, err := p.json()
		if err != nil || len(data) <= maxPayload {
			return data, err
		}
	}
	return nil, errTooBig
}

func (p payload) json() ([]byte, error) {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false) // it would make six octets of one, and no HTML is near
	err := e.Encode(p)
	return bytes.TrimSpace(out.Bytes()), err
}

// shorten puts the longest beginning of *part into its place with which p fits,
// and a mark that something is missing; nothing if none fits. It cuts between
// characters.
func (p *payload) shorten(part *string) {
	whole := []rune(*part)
	fits := func(n int) bool {
		*part = strings.TrimRight(string(whole[:n]), " ") + "…"
		data, err := p.json()
		return err == nil && len(data) <= maxPayload
	}
	n := sort.Search(len(whole)+1, func(n int) bool { return !fits(n) }) - 1
	if n <= 0 {
		*part = ""
		return
	}
	fits(n)
}
