package site

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// secretTables are the tables in whose place a secret may have been typed. No
// error repeats a value from them when the file could not be understood there.
var secretTables = regexp.MustCompile(`^\s*\[+\s*["']?(?i:channel|heartbeat|broker|door)\b`)

var (
	anyTable   = regexp.MustCompile(`^\s*\[{1,2}[\w\s."'-]+\]{1,2}\s*(#.*)?$`)
	plainKey   = regexp.MustCompile(`^([a-z_]{1,30})\s*=`)
	secretWord = regexp.MustCompile(`(?i)url|pass|key|token|secret|://`)
)

// hushed returns a line of the file for an error: no more than its key where
// the rest may be a secret.
func hushed(lines []string, n int) string {
	line := sourceLine(lines, n)
	if anyTable.MatchString(line) || !mayHoldSecret(lines, n) {
		return line
	}
	if key := plainKey.FindStringSubmatch(line); key != nil {
		return key[1] + " = ..."
	}
	return "..." // a piece of a longer text, or a forgotten equals sign
}

func mayHoldSecret(lines []string, n int) bool {
	if n < 1 || n > len(lines) {
		return false
	}
	for _, line := range slices.Backward(lines[:n]) {
		if anyTable.MatchString(line) {
			return secretTables.MatchString(line) || secretWord.MatchString(lines[n-1])
		}
	}
	return secretWord.MatchString(lines[n-1])
}

// secretWritten says what to do about a secret that was written into the site
// file itself: which key of that table takes its place. It is empty if key is
// no secret there.
func secretWritten(table, key string) string {
	key = strings.ToLower(key)
	if !slices.Contains([]string{"url", "password", "key", "token"}, key) {
		return ""
	}
	place := key
	if key == "token" || table == "heartbeat" { // part of an address
		place = "url"
	}
	switch table {
	case "channel", "heartbeat":
		return fmt.Sprintf("%s must not stand in this file: put it into a file of its own and name that with %s_file, or an environment variable with %[2]s_env", key, place)
	case "broker":
		return fmt.Sprintf("%s must not stand in this file: put it into a file of its own and name that with password_file", key)
	}
	return ""
}
