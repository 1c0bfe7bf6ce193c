package site

import (
	"fmt"
	"net/url"
	"os"
	"strings"
)

// MinKey is the least length in bytes of the key that signs a webhook: 128 bits
// are what no one guesses (NIST SP 800-131A asks for 112 or more; from memory).
const MinKey = 16

// secretUse is one secret that the file names, what it is for, and where the
// file says so.
type secretUse struct {
	ref  SecretRef
	key  string // of the site file, such as url_file
	fits func(secret string) string
	at   Problem // without its text
}

// secret checks where the secret called name, such as url, is kept. Whether it
// is there is asked later: see CheckSecrets.
func (c *checker) secret(path, name, file, env, meaning string, fits func(string) string) SecretRef {
	fileKey, envKey := name+"_file", name+"_env"
	inFile, inEnv := c.given(join(path, fileKey)), c.given(join(path, envKey))
	switch {
	case inFile && inEnv:
		c.addf(join(path, envKey), "%s and %s exclude each other: keep the secret in one place", envKey, fileKey)
	case inFile && strings.HasPrefix(file, "/"):
		c.keep(path, fileKey, SecretRef{File: file}, fits)
		return SecretRef{File: file}
	case inFile:
		c.addf(join(path, fileKey), "%s must be the whole path of a file, beginning with /, that holds the secret and nothing else; never the secret itself", fileKey)
	case inEnv && variable(env):
		c.keep(path, envKey, SecretRef{Env: env}, fits)
		return SecretRef{Env: env}
	case inEnv:
		c.addf(join(path, envKey), "%s must be the name of an environment variable in capitals, digits and _; never the secret itself", envKey)
	case !c.given(join(path, name)): // else it was complained of already
		c.addf(path, "%s or %s is missing: the file, or the environment variable, that holds %s", fileKey, envKey, meaning)
	}
	return SecretRef{}
}

func (c *checker) keep(path, key string, ref SecretRef, fits func(string) string) {
	at := Problem{File: c.file, Line: c.outline.line(join(path, key)), In: c.outline.tableOf(path)}
	c.secrets = append(c.secrets, secretUse{ref: ref, key: key, fits: fits, at: at})
}

// variable reports whether name is one of the environment as POSIX reserves
// them for programs: capitals, digits and _, no digit first (XBD 8.1). A secret
// written in its place hardly ever is.
func variable(name string) bool {
	unfit := func(r rune) bool { return (r < 'A' || r > 'Z') && (r < '0' || r > '9') && r != '_' }
	return name != "" && !strings.ContainsFunc(name, unfit) && (name[0] < '0' || name[0] > '9')
}

// CheckSecrets looks at the files and variables that hold the site's secrets. A
// warning is a line for people, with what to do. The error is Errors: a file
// that is missing, cannot be read, or does not hold what it should. env is
// asked for variables, as os.Getenv; one that is not set is only a warning,
// because the daemon has an environment of its own. Nothing that is said holds
// anything secret.
func (s *Site) CheckSecrets(env func(string) string) (warnings []string, err error) {
	var wrong Errors
	for _, u := range s.secrets {
		if u.ref.Env != "" && env(u.ref.Env) == "" {
			warnings = append(warnings, u.says("$%s is not set here; the daemon must find it in its environment", u.ref.Env))
			continue
		}
		switch secret, err := u.ref.Read(env); {
		case err != nil:
			wrong = append(wrong, u.problem("%v", err))
			continue
		case u.fits(secret) != "":
			wrong = append(wrong, u.problem("what %s holds %s", u.ref, u.fits(secret)))
		}
		if mode, open := openToOthers(u.ref.File); open {
			warnings = append(warnings, u.says("%s is readable by others (mode %04o): chmod 600 %s, or 640 if the daemon reads it by its group",
				u.ref, mode, u.ref))
		}
	}
	if len(wrong) > 0 {
		return warnings, wrong
	}
	return warnings, nil
}

func (u secretUse) problem(format string, args ...any) Problem {
	p := u.at
	p.Text = u.key + ": " + fmt.Sprintf(format, args...)
	return p
}

func (u secretUse) says(format string, args ...any) string { return u.problem(format, args...).Error() }

func openToOthers(file string) (os.FileMode, bool) {
	info, err := os.Stat(file)
	if file == "" || err != nil {
		return 0, false
	}
	return info.Mode().Perm(), info.Mode().Perm()&0o007 != 0
}

// What a secret must be. Each returns what is wrong with it, for the end of a
// sentence, or nothing.

func webAddress(secret string) string {
	if u, err := url.Parse(secret); err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Hostname() == "" {
		return "is no http:// or https:// address"
	}
	return ""
}

func serviceAddress(secret string) string {
	if scheme, rest, found := strings.Cut(secret, "://"); !found || scheme == "" || rest == "" {
		return "is no address of a service, such as kind://host/path"
	}
	return ""
}

func signingKey(secret string) string {
	if len(secret) < MinKey {
		return fmt.Sprintf("is too short for a key: at least %d bytes", MinKey)
	}
	return ""
}

func anything(string) string { return "" }
