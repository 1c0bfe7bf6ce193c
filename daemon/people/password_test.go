package people

import (
	"strings"
	"testing"
	"time"

	"golang.org/x/crypto/bcrypt"
)

// Passwords that everybody tries first, that are the name, or that bcrypt would cut
// are refused with what to do, and never repeated.
func TestSillyPasswordsAreRefused(t *testing.T) {
	for password, says := range map[string]string{
		"":                         "shorter than 10",
		"ninechars":                "shorter than 10",
		"äöüäöüäöü":                "shorter than 10", // nine, though eighteen bytes
		strings.Repeat("ab3 ", 19): "longer than 72",
		"with\x00nothing in it":    "no keyboard",
		"two lines\nof words":      "no keyboard",
		"Robin Alder":              "the name",
		"robinalder1":              "the name",
		"Robin-Alder-2026":         "the name",
		"password123":              "tries first",
		"PassWord!!!1":             "tries first",
		"qwertyuiop":               "tries first",
		"1234567890":               "tries first",
		"12345678901234567890":     "tries first",
		"alderyard2026":            "tries first",
		"aaaaaaaaaaaaaaa":          "tries first",
		"keeperkeeper":             "tries first",
		"abababababab":             "tries first",
	} {
		err := CheckPassword("Robin Alder", password)
		if err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, want an error that says %q", password, err, says)
		}
		if err != nil && len(password) > 3 && strings.Contains(err.Error(), password) {
			t.Errorf("the error repeats %q", password)
		}
	}
	for _, password := range []string{robinsWords, sorrelsWords, "Robin Alder waters nine plums", "schlüssel über moos", strings.Repeat("ab3 ", 18)} {
		if err := CheckPassword("Robin Alder", password); err != nil {
			t.Errorf("%q is refused: %v", password, err)
		}
	}
}

// A password that cannot be kept changes nothing.
func TestARefusedPasswordLeavesTheOldOne(t *testing.T) {
	h := newHouse(t)
	defer h.close()
	if err := h.book.SetPassword("Robin", "password123", time.Now()); err == nil {
		t.Fatal("a silly password was taken")
	}
	h.in("Robin", robinsWords)
}

// bcrypt itself, held against a vector that others publish: Openwall crypt_blowfish
// 1.3, wrapper.c (from memory).
func TestBcryptIsTheOneOfOthers(t *testing.T) {
	const theirs = "$2a$05$CCCCCCCCCCCCCCCCCCCCC.E5YPO9kmyuRGyh0XouQYb4YMJKvyOeW"
	if !fits(theirs, "U*U") || fits(theirs, "U*u") {
		t.Error("the published hash of U*U is not that of U*U alone")
	}
	if cost, err := bcrypt.Cost([]byte(theirs)); err != nil || cost != 5 {
		t.Errorf("its cost is %d, %v", cost, err)
	}
}

// BenchmarkCheck measures what one guess costs.
func BenchmarkCheck(b *testing.B) {
	for b.Loop() {
		fits(unknownHash, robinsWords)
	}
}

// Every role may do what doc.go's table says, and no more.
func TestRolesMayDoWhatTheTableSays(t *testing.T) {
	const table = `
		viewer  see
		maker   see enter
		auditor see sign export
		keeper  see enter sign export keep`
	words := map[string]Right{"see": See, "enter": Enter, "sign": Sign, "export": Export, "keep": Keep}
	for line := range strings.Lines(strings.TrimSpace(table)) {
		cells := strings.Fields(line)
		role, err := ParseRole(cells[0])
		if err != nil {
			t.Fatal(err)
		}
		for word, right := range words {
			want := strings.Contains(" "+strings.Join(cells[1:], " ")+" ", " "+word+" ")
			if role.May(right) != want {
				t.Errorf("%s may %s: %v, want %v", role, word, !want, want)
			}
		}
		if !role.May(Anybody) {
			t.Errorf("%s may not come to the door", role)
		}
	}
	for right := range Right(10) {
		if NoRole.May(right) != (right == Anybody) || Role(9).May(right) != (right == Anybody) {
			t.Errorf("nobody may %s", right)
		}
	}
	if _, err := ParseRole("owner"); err == nil {
		t.Error("owner is a role")
	}
}
