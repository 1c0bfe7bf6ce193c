package record

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// The private key lies in signing-key beside the record. A new one waits under
// another name until its entry is on disk, so that the two never disagree: where
// the program is killed in between, the next Open sees from the record whether
// the waiting key counts.
const (
	keyFile     = "signing-key"
	keyFileNext = "signing-key.next"
)

// VerifierKey returns the public key that checkpoints are signed for, in the
// form name+hash+base64; empty before the first Key.
func (r *Record) VerifierKey() string {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.tail.key
}

// NeedsKey reports whether a Key must be appended before a checkpoint can be:
// the record has none yet, or the private key to it is not there.
func (r *Record) NeedsKey() bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.key.public == "" || r.key.public != r.tail.key
}

// holdKey takes the private key that belongs to the last Key of the record, if
// it is there. A key that cannot be read keeps nobody from watching a bath: the
// record goes on with a new one, which nothing vouches for and the verifier names.
func (r *Record) holdKey() error {
	if r.key.public == r.tail.key {
		return nil
	}
	r.tail.next = signingKey{}
	now, next := filepath.Join(r.dir, keyFile), filepath.Join(r.dir, keyFileNext)
	if key, err := readKeyFile(next); err == nil && key.public != "" && key.public == r.tail.key {
		lost := r.key.public == ""
		r.key = key
		if lost {
			// Somebody's key may lie there, for another record or damaged.
			if err := os.Rename(now, now+".old"); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return fmt.Errorf("keep the signing key: %w", err)
			}
		}
		if err := os.Rename(next, now); err != nil {
			return fmt.Errorf("keep the signing key: %w", err)
		}
		return syncFolder(r.dir)
	}
	key, err := readKeyFile(now)
	if err == nil && key.public != r.tail.key {
		err = fmt.Errorf("the signing key %s is not that of the record", now)
	}
	if err != nil {
		r.log.Error("no checkpoint can be signed until a new key is in the record", "error", err)
		return nil
	}
	r.key = key
	return nil
}

// waitingKey returns the key that waits for its entry, and makes it if there is
// none of that name that could be read.
func (r *Record) waitingKey(name string) (signingKey, error) {
	path := filepath.Join(r.dir, keyFileNext)
	if key, err := readKeyFile(path); err == nil && key.public != "" && key.signer.Name() == name {
		return key, nil
	}
	key, private, err := makeKey(name)
	if err != nil {
		return key, err
	}
	if err := writeSynced(path, private+"\n"); err != nil {
		return key, fmt.Errorf("keep the signing key: %w", err)
	}
	return key, syncFolder(r.dir)
}

// readKeyFile returns the key in a file; one without a public key if there is
// no file.
func readKeyFile(path string) (signingKey, error) {
	text, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return signingKey{}, nil
	}
	if err != nil {
		return signingKey{}, fmt.Errorf("read the signing key: %w", err)
	}
	key, err := parseKey(string(text))
	if err != nil {
		return signingKey{}, fmt.Errorf("read the signing key %s: %w", path, err)
	}
	return key, nil
}

func writeSynced(path, text string) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	_, err = f.WriteString(text)
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}
