package people

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/crypto/bcrypt"
)

// Cost is the work of one password: bcrypt runs 2^Cost rounds. OWASP's cheat sheet
// wants 10 or more (from memory). 12 took 0.4 s on two shared cores of a server
// (BenchmarkCheck), and is reckoned, not measured, at some 3 s on the oldest Pi,
// which its people bear once a week and a thief at every guess.
const Cost = 12

// The bounds of a password. bcrypt takes no more than 72 bytes (its package says
// so); what came after them would count for nothing.
const (
	minPassword = 10 // characters
	maxPassword = 72 // bytes
)

// silly are passwords that everybody tries first, of ten characters or more (own
// list: rows of keys, and the words of this trade).
var silly = [...]string{
	"password", "passwort", "passw0rd", "qwertyuiop", "qwertzuiop", "asdfghjkl", "zxcvbnm", "1q2w3e4r5t",
	"1234567890", "0123456789", "0987654321", "9876543210", "abcdefghij", "letmein", "iloveyou", "changeme", "bainward", "macerated", "sunflower",
	"alderyard", "maceration", "waterbath", "keeper", "maker", "secret", "welcome", "admin", "administrator",
}

// CheckPassword returns why password will not do for the person called name, or
// nil. It never repeats the password.
func CheckPassword(name, password string) error {
	switch {
	case !utf8.ValidString(password) || strings.ContainsFunc(password, unicode.IsControl):
		return errors.New("the password holds something that no keyboard types: use letters, digits, signs and spaces")
	case utf8.RuneCountInString(password) < minPassword:
		return fmt.Errorf("the password is shorter than %d characters: three or four words that nobody says together are easy to keep", minPassword)
	case len(password) > maxPassword:
		return fmt.Errorf("the password is longer than %d bytes, which is all that counts: use fewer words", maxPassword)
	case plainly(name) != "" && strings.Contains(plainly(password), plainly(name)) && len(plainly(password)) < len(plainly(name))+minPassword:
		return errors.New("the password is little but the name: whoever knows the person has it at once")
	case monotonous(password) || isSilly(password):
		return errors.New("the password is one that everybody tries first: take three or four words that nobody says together")
	}
	return nil
}

// plainly leaves out what is added to a word to make it look like a password.
func plainly(s string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			return -1
		}
		return unicode.ToLower(r)
	}, s)
}

// isSilly reports whether password is a word of the list, said once or again, with
// digits at its end.
func isSilly(password string) bool {
	all := plainly(password)
	bare := strings.TrimRightFunc(all, unicode.IsDigit)
	return slices.ContainsFunc(silly[:], func(w string) bool {
		return strings.ReplaceAll(all, w, "") == "" || strings.ReplaceAll(bare, w, "") == ""
	})
}

// monotonous reports whether a password has fewer than four different characters.
func monotonous(password string) bool {
	seen := map[rune]bool{}
	for _, r := range password {
		seen[r] = true
	}
	return len(seen) < 4
}

// hash is what is kept of a password.
func hash(password string, cost int) (string, error) {
	h, err := bcrypt.GenerateFromPassword([]byte(password), cost)
	if err != nil {
		return "", fmt.Errorf("hash the password: %w", err)
	}
	return string(h), nil
}

// fits reports whether password is the one that hash was made of. It takes as long
// when it is not.
func fits(hash, password string) bool {
	return len(password) <= maxPassword && bcrypt.CompareHashAndPassword([]byte(hash), []byte(password)) == nil
}
