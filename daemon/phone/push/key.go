package push

import (
	"crypto/ecdh"
	"encoding/base64"
	"errors"
	"fmt"
	"time"

	webpush "github.com/SherClockHolmes/webpush-go"

	"bainward/daemon/phone/notice"
)

// key is what the daemon signs with, so that nobody else can call its phones
// (RFC 8292). Phones are signed up for this key alone.
type key struct {
	public string // base64url of an uncompressed point of P-256
	secret notice.Secret
}

type keyOnDisk struct {
	Private string    `json:"private"` // base64url, 32 octets
	Public  string    `json:"public"`  // base64url, 65 octets
	Made    time.Time `json:"made"`
}

// openKey reads the key, or makes one on the first start.
func openKey(f file) (key, error) {
	var k keyOnDisk
	there, err := f.read(&k)
	if err == nil && there {
		err = k.check(f)
	}
	if err != nil {
		return key{}, fmt.Errorf("open push key: %w: bring it back from a backup; or move it away and start again, and sign up every phone anew", err)
	}
	if !there {
		if k, err = makeKey(f); err != nil {
			return key{}, fmt.Errorf("make push key: %w", err)
		}
	}
	return key{public: k.Public, secret: notice.NewSecret(k.Private)}, nil
}

func makeKey(f file) (keyOnDisk, error) {
	secret, public, err := webpush.GenerateVAPIDKeys()
	if err != nil {
		return keyOnDisk{}, err
	}
	k := keyOnDisk{Private: secret, Public: public, Made: time.Now().UTC().Truncate(time.Second)}
	return k, f.write(k)
}

// check holds the two halves against each other: a key with one digit changed
// would be refused by every push service, at the first alarm.
func (k keyOnDisk) check(f file) error {
	octets, err := base64.RawURLEncoding.DecodeString(k.Private)
	if err != nil {
		return f.damaged(errors.New("the private key is not base64url"))
	}
	secret, err := ecdh.P256().NewPrivateKey(octets)
	if err != nil {
		return f.damaged(errors.New("the private key is none of P-256"))
	}
	if base64.RawURLEncoding.EncodeToString(secret.PublicKey().Bytes()) != k.Public {
		return f.damaged(errors.New("the public key does not belong to the private one"))
	}
	return nil
}
