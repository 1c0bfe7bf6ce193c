package notice

import (
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"strings"
	"testing"
	"time"
)

const token = "t0psecret-9f2a"

// A secret is printed by no verb, no log and no encoder.
func TestASecretShowsItselfToNobody(t *testing.T) {
	s := NewSecret(token)
	holder := struct {
		S Secret
		P *Secret
		s Secret
		p *Secret
	}{s, &s, s, &s}
	var log strings.Builder
	slog.New(slog.NewTextHandler(&log, nil)).Info("x", "secret", s, "holder", holder)
	inJSON, err := json.Marshal(holder)
	if err != nil {
		t.Fatal(err)
	}
	for _, said := range []string{
		fmt.Sprint(s), fmt.Sprintf("%v %+v %#v %s %q %x %d", s, s, s, s, s, s, s),
		fmt.Sprintf("%v %+v %#v", holder, holder, holder), string(inJSON), log.String(),
	} {
		if strings.Contains(said, token) || strings.Contains(said, fmt.Sprintf("%x", token)) {
			t.Errorf("the secret stands in %q", said)
		}
	}
	if s != NewSecret(strings.Clone(token)) || s == NewSecret("other") || NewSecret("") != (Secret{}) {
		t.Error("secrets compare otherwise than their texts")
	}
	if s.Reveal() != token {
		t.Errorf("revealed %q", s.Reveal())
	}
}

// An error about a secret address tells its story without address and token,
// and keeps what it says about the next try.
func TestRedactCutsOutTheSecretAndItsParts(t *testing.T) {
	address := NewSecret("service://robin:" + token + "@host.example/channel77?key=abcd9")
	cause := fmt.Errorf("post %s: 429 for %s, key abcd9", address.Reveal(), token)
	err := Redact(&Failure{Err: cause, After: time.Minute}, address)
	for _, part := range []string{token, "robin", "channel77", "abcd9", "host.example"} {
		if strings.Contains(err.Error(), part) {
			t.Errorf("%q stands in %q", part, err)
		}
	}
	if !strings.Contains(err.Error(), "429") {
		t.Errorf("the story is lost: %q", err)
	}
	f, ok := errors.AsType[*Failure](err)
	if !ok || f.After != time.Minute {
		t.Errorf("the wait is lost: %#v", err)
	}
	if errors.Is(err, cause) {
		t.Error("the cause with the secret can still be unwrapped")
	}
}
