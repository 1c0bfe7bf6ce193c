package mail

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"io"
	"mime"
	"mime/multipart"
	"mime/quotedprintable"
	"net/textproto"
	"strings"

	"bainward/daemon/phone/notice"
	"bainward/rules/alarm"
)

// compose writes the whole mail: header, text, and the picture if there is one.
func (c *Channel) compose(n notice.Notice, png []byte) ([]byte, error) {
	var b bytes.Buffer
	for _, h := range c.header(n) {
		fmt.Fprintf(&b, "%s: %s\r\n", h[0], h[1])
	}
	if png == nil {
		fmt.Fprintf(&b, "Content-Type: %s\r\nContent-Transfer-Encoding: quoted-printable\r\n\r\n", plainText)
		err := writeText(&b, n)
		return b.Bytes(), err
	}
	m := multipart.NewWriter(&b)
	fmt.Fprintf(&b, "Content-Type: multipart/mixed; boundary=%s\r\n\r\n", m.Boundary())
	w, err := m.CreatePart(part(plainText, "quoted-printable", "inline"))
	if err != nil {
		return nil, err
	}
	if err := writeText(w, n); err != nil {
		return nil, err
	}
	if w, err = m.CreatePart(part("image/png", "base64", "attachment; filename=trace.png")); err != nil {
		return nil, err
	}
	if err := writeBase64(w, png); err != nil {
		return nil, err
	}
	err = m.Close()
	return b.Bytes(), err
}

const plainText = "text/plain; charset=utf-8"

func part(kind, encoding, disposition string) textproto.MIMEHeader {
	return textproto.MIMEHeader{
		"Content-Type": {kind}, "Content-Transfer-Encoding": {encoding}, "Content-Disposition": {disposition},
	}
}

// header is the mail's header (RFC 5322 3.6). Only encoded values have words in
// them that come from elsewhere.
func (c *Channel) header(n notice.Notice) [][2]string {
	importance, priority := weight(n)
	return [][2]string{
		{"From", c.from.String()},
		{"To", c.to.String()},
		{"Subject", subject(n)},
		{"Date", c.now().Format("Mon, 02 Jan 2006 15:04:05 -0700")},
		{"Message-ID", c.messageID(n)},
		{"Auto-Submitted", "auto-generated"}, // RFC 3834 5: no holiday note comes back
		{"Importance", importance},
		{"Priority", priority},
		{"MIME-Version", "1.0"},
	}
}

// weight is what the fields Importance and Priority say (RFC 4021 2.1.54 and
// 2.1.55 after RFC 2156 5.3).
func weight(n notice.Notice) (importance, priority string) {
	switch {
	case n.Quiet:
		return "low", "non-urgent"
	case n.Kind == notice.Over || n.Kind == notice.Proof || n.Priority < alarm.High:
		return "normal", "normal"
	}
	return "high", "urgent"
}

// subject is the title on one line. Encode leaves plain ASCII as it is and puts
// everything else, line breaks too, into encoded words.
func subject(n notice.Notice) string {
	title := strings.Join(strings.Fields(n.Title), " ")
	if title == "" {
		title = "bainward"
	}
	return mime.QEncoding.Encode("utf-8", clip(title, longestTitle))
}

// longestTitle keeps the line of a title of plain ASCII far below the 998
// characters of RFC 5322 2.1.1; a title has 40.
const longestTitle = 200

func clip(s string, most int) string {
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}

// messageID is the same at every try of one notice. An id that could break out of
// its brackets goes in as a hash.
func (c *Channel) messageID(n notice.Notice) string {
	id := n.ID
	if id == "" || len(id) > 100 || strings.ContainsFunc(id, func(r rune) bool {
		return !('a' <= r && r <= 'z' || 'A' <= r && r <= 'Z' || '0' <= r && r <= '9' || r == '-' || r == '_')
	}) {
		sum := sha256.Sum256([]byte(id + "\x00" + n.Title + "\x00" + n.Text))
		id = hex.EncodeToString(sum[:16])
	}
	_, domain, _ := strings.Cut(c.from.Address, "@")
	return "<" + id + ".bainward@" + domain + ">"
}

// writeText writes what a person reads.
func writeText(w io.Writer, n notice.Notice) error {
	lines := []string{n.Text, ""}
	if n.Link != "" {
		lines = append(lines, "Answer here: "+n.Link, "")
	}
	where := n.Site
	if n.Bath != "" {
		where += ", bath " + n.Bath
	}
	if !n.Wall.IsZero() {
		where += ", " + n.Wall.Format("2006-01-02 15:04:05 -0700")
	}
	lines = append(lines, where, "Written by bainward; nobody reads a reply to this mail.", "")
	q := quotedprintable.NewWriter(w)
	if _, err := io.WriteString(q, strings.Join(lines, "\r\n")); err != nil {
		return err
	}
	return q.Close()
}

// writeBase64 writes data in lines of 76 characters (RFC 2045 6.8).
func writeBase64(w io.Writer, data []byte) error {
	const perLine = 76 / 4 * 3
	for len(data) > 0 {
		n := min(perLine, len(data))
		if _, err := fmt.Fprintf(w, "%s\r\n", base64.StdEncoding.EncodeToString(data[:n])); err != nil {
			return err
		}
		data = data[n:]
	}
	return nil
}
