package people

import (
	"crypto/subtle"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode"
)

// commandFile holds the token of commands in the folder of the record.
const commandFile = "command-line-token"

// commandLine lets commands on this machine ask the daemon. The token is made at
// each start, so that one that was caught is worth nothing after it.
type commandLine struct {
	path, sum string
}

func openCommandLine(dir string) (commandLine, error) {
	token := newToken()
	c := commandLine{path: filepath.Join(dir, commandFile), sum: sumOf(token)}
	if err := replaceFile(c.path, []byte(token+"\n")); err != nil {
		return c, fmt.Errorf("write the token of the command line: %w", err)
	}
	return c, nil
}

func (c commandLine) opens(token string) bool {
	return subtle.ConstantTimeCompare([]byte(sumOf(token)), []byte(c.sum)) == 1
}

func (c commandLine) close() error {
	if err := os.Remove(c.path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("remove the token of the command line: %w", err)
	}
	return nil
}

// CommandToken reads the token of the daemon whose record is in dir; it is empty if
// there is none, because nobody signs in there or no daemon runs.
func CommandToken(dir string) (string, error) {
	text, err := os.ReadFile(filepath.Join(dir, commandFile))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "", nil
	case err != nil:
		return "", fmt.Errorf("read the token of the command line: %w: run this as the user of the daemon, or as root", err)
	}
	return strings.TrimSpace(string(text)), nil
}

// OnCommandLine is who stands in the record for a user of this machine.
func OnCommandLine(user string) string {
	const longest = 20 // with what follows, as long as a name may be
	user = strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune(".-_", r) {
			return r
		}
		return -1
	}, user)
	if cut := []rune(user); len(cut) > longest {
		user = string(cut[:longest])
	}
	if user == "" {
		user = "somebody"
	}
	return user + " on the command line"
}
