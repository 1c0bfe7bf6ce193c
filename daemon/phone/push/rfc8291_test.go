package push

import (
	"bytes"
	"crypto/aes"
	"crypto/cipher"
	"crypto/ecdh"
	"crypto/hkdf"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"errors"
	"fmt"
	"testing"
)

// steps are the values between a body and its plaintext, as RFC 8291 names them.
type steps struct{ ecdh, ikm, cek, nonce []byte }

// decrypt opens a body as a phone does: RFC 8291, 3.4 and 4, and RFC 8188, 2. It
// shares no code with what encrypts.
func decrypt(body []byte, own *ecdh.PrivateKey, auth []byte) (plain []byte, s steps, err error) {
	if len(body) < 86 || body[20] != 65 {
		return nil, s, fmt.Errorf("no header with a key of 65 octets in %d octets", len(body))
	}
	salt, size, sender, sealed := body[:16], binary.BigEndian.Uint32(body[16:20]), body[21:86], body[86:]
	if len(sealed) > int(size) || len(body) > 4096 {
		return nil, s, fmt.Errorf("%d octets, record size %d: not one record that every service takes", len(body), size)
	}
	point, err := ecdh.P256().NewPublicKey(sender)
	if err != nil {
		return nil, s, err
	}
	if s.ecdh, err = own.ECDH(point); err != nil {
		return nil, s, err
	}
	info := "WebPush: info\x00" + string(own.PublicKey().Bytes()) + string(sender)
	derive := func(secret, salt []byte, info string, size int) []byte {
		out, bad := hkdf.Key(sha256.New, secret, salt, info, size)
		err = errors.Join(err, bad)
		return out
	}
	s.ikm = derive(s.ecdh, auth, info, 32)
	s.cek = derive(s.ikm, salt, "Content-Encoding: aes128gcm\x00", 16)
	s.nonce = derive(s.ikm, salt, "Content-Encoding: nonce\x00", 12)
	if err != nil {
		return nil, s, err
	}
	block, err := aes.NewCipher(s.cek)
	if err != nil {
		return nil, s, err
	}
	gcm, err := cipher.NewGCM(block)
	if err != nil {
		return nil, s, err
	}
	padded, err := gcm.Open(nil, s.nonce, sealed, nil)
	if err != nil {
		return nil, s, err
	}
	plain, last := bytes.CutSuffix(bytes.TrimRight(padded, "\x00"), []byte{2})
	if !last {
		return nil, s, errors.New("the record is not marked as the last")
	}
	return plain, s, nil
}

func octets(t *testing.T, base64url string) []byte {
	t.Helper()
	b, err := base64.RawURLEncoding.DecodeString(base64url)
	if err != nil {
		t.Fatalf("%q: %v", base64url, err)
	}
	return b
}

// What the tests open bodies with opens the published one: RFC 8291, section 5
// and appendix A, with every value in between.
func TestTheBodyOfRFC8291OpensToItsPlaintext(t *testing.T) {
	own, err := ecdh.P256().NewPrivateKey(octets(t, "q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94"))
	if err != nil {
		t.Fatal(err)
	}
	const public = "BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4"
	if got := base64.RawURLEncoding.EncodeToString(own.PublicKey().Bytes()); got != public {
		t.Errorf("the receiver's public key is %s", got)
	}
	body := octets(t, "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A_yl95bQpu6cVPTpK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN")
	plain, s, err := decrypt(body, own, octets(t, "BTBZMqHH6r4Tts7J_aSIgg"))
	if err != nil {
		t.Fatal(err)
	}
	if got := string(plain); got != "When I grow up, I want to be a watermelon" {
		t.Errorf("the plaintext is %q", got)
	}
	for _, c := range []struct {
		name string
		got  []byte
		want string
	}{
		{"ecdh_secret", s.ecdh, "kyrL1jIIOHEzg3sM2ZWRHDRB62YACZhhSlknJ672kSs"},
		{"IKM", s.ikm, "S4lYMb_L0FxCeq0WhDx813KgSYqU26kOyzWUdsXYyrg"},
		{"CEK", s.cek, "oIhVW04MRdy2XN9CiKLxTg"},
		{"NONCE", s.nonce, "4h_95klXJ5E_qnoN"},
	} {
		if got := base64.RawURLEncoding.EncodeToString(c.got); got != c.want {
			t.Errorf("%s is %s, want %s", c.name, got, c.want)
		}
	}
	body[len(body)-1] ^= 1
	if _, _, err := decrypt(body, own, octets(t, "BTBZMqHH6r4Tts7J_aSIgg")); err == nil {
		t.Error("a body with one changed bit opens")
	}
}
