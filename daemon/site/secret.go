package site

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
)

// SecretRef says where a secret is kept: in a file, or in a variable of the
// environment. It holds nothing secret itself.
type SecretRef struct {
	File string // whole path
	Env  string // name of the variable
}

// Set reports whether the site file names a place.
func (r SecretRef) Set() bool { return r != SecretRef{} }

// String names the place.
func (r SecretRef) String() string {
	if r.Env != "" {
		return "$" + r.Env
	}
	return r.File
}

// maxSecret is more than any address, key or password.
const maxSecret = 16 << 10

// Read returns the secret without the end of its line. env is asked for
// variables, as os.Getenv. No error holds any of it.
func (r SecretRef) Read(env func(string) string) (string, error) {
	text, err := r.content(env)
	if err != nil {
		return "", fmt.Errorf("read secret from %s: %w", r, err)
	}
	text = strings.TrimRight(text, "\r\n")
	switch {
	case strings.TrimSpace(text) == "":
		return "", fmt.Errorf("read secret from %s: it is empty", r)
	case strings.ContainsAny(text, "\r\n\x00"):
		return "", fmt.Errorf("read secret from %s: it has several lines: leave the secret and nothing else", r)
	}
	return text, nil
}

func (r SecretRef) content(env func(string) string) (string, error) {
	if r.Env != "" {
		return env(r.Env), nil
	}
	info, err := os.Stat(r.File)
	if err != nil {
		return "", plainly(err)
	}
	if !info.Mode().IsRegular() { // a pipe would be waited for
		return "", errors.New("not a file with text in it")
	}
	f, err := os.Open(r.File)
	if err != nil {
		return "", plainly(err)
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, maxSecret+1))
	if len(text) > maxSecret {
		return "", fmt.Errorf("larger than %d bytes, so not a secret", maxSecret)
	}
	return string(text), plainly(err)
}

// plainly takes from an error of the file system the path, which is named
// already, and keeps the cause.
func plainly(err error) error {
	for _, known := range []error{fs.ErrNotExist, fs.ErrPermission} {
		if errors.Is(err, known) {
			return known
		}
	}
	if at, ok := errors.AsType[*fs.PathError](err); ok {
		return at.Err
	}
	return err
}
