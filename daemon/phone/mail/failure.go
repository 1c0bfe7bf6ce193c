package mail

import (
	"encoding/base64"
	"errors"
	"fmt"
	"net/textproto"
	"strings"
	"unicode"

	"bainward/daemon/phone/notice"
)

// failed says what happened at the present step, and whether another try can
// help: 4yz is "not now", 5yz is "no" (RFC 5321 4.2.1). All else may pass: even a
// certificate that is not valid yet, on a machine whose clock has not been set.
func (s *session) failed(err error) error {
	reply, ok := errors.AsType[*textproto.Error](err)
	if ended := s.ctx.Err(); ended != nil && !ok {
		return &notice.Failure{Err: fmt.Errorf("send mail: %s: no answer in time: %w", s.step, ended)}
	}
	if !ok {
		return &notice.Failure{Err: fmt.Errorf("send mail: %s: %s", s.step, s.channel.clean(err.Error()))}
	}
	said := fmt.Sprintf("%d %s", reply.Code, reply.Msg)
	if s.step == "login" { // the one place where a server could echo a password
		said = fmt.Sprintf("%d: check user and password", reply.Code)
	}
	final := reply.Code >= 500 && reply.Code < 600
	return &notice.Failure{Err: fmt.Errorf("send mail: %s: %s", s.step, s.channel.clean(said)), Final: final}
}

// longestAnswer keeps a server's word short enough for the record, together with
// the step it belongs to: 120 characters in all.
const longestAnswer = 120 - len("send mail: acceptance: ")

// clean makes one short printable line of what a server said, without the
// password in any form in which it was given to it.
func (c *Channel) clean(said string) string {
	said = strings.Join(strings.FieldsFunc(said, func(r rune) bool {
		return unicode.IsSpace(r) || !unicode.IsPrint(r)
	}), " ")
	if c.password.Set() {
		word := c.password.Reveal()
		said = notice.Clean(said, c.password, encoded(word), encoded("\x00"+c.user+"\x00"+word))
	}
	if r := []rune(said); len(r) > longestAnswer {
		said = string(r[:longestAnswer-1]) + "…"
	}
	return said
}

// encoded is s as SASL carries it.
func encoded(s string) notice.Secret {
	return notice.NewSecret(base64.StdEncoding.EncodeToString([]byte(s)))
}
