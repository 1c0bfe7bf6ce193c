package site

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// secretText stands for what must show nowhere.
const secretText = "t0psecret-9f2a-0123456789"

func noEnv(string) string { return "" }

// kept writes text into a file that only its owner reads.
func kept(t *testing.T, text string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "secret")
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// A secret is read without the end of its line, from a file or a variable.
func TestASecretIsReadWithoutTheEndOfItsLine(t *testing.T) {
	for written, want := range map[string]string{
		"abc\n": "abc", "abc\r\n": "abc", "abc\n\n": "abc", "abc": "abc", " a b ": " a b ",
	} {
		fromFile, err := SecretRef{File: kept(t, written)}.Read(noEnv)
		if err != nil || fromFile != want {
			t.Errorf("a file with %q gives %q, %v; want %q", written, fromFile, err, want)
		}
		fromEnv, err := SecretRef{Env: "KEPT"}.Read(func(name string) string { return map[string]string{"KEPT": written}[name] })
		if err != nil || fromEnv != want {
			t.Errorf("a variable with %q gives %q, %v; want %q", written, fromEnv, err, want)
		}
	}
}

// What cannot be a secret is an error that names the place and not the content.
func TestAPlaceWithoutASecretIsAnErrorThatNamesIt(t *testing.T) {
	folder := t.TempDir()
	missing := filepath.Join(folder, "none")
	for what, c := range map[string]struct {
		ref  SecretRef
		want string
	}{
		"missing file":  {SecretRef{File: missing}, missing + ": file does not exist"},
		"folder":        {SecretRef{File: folder}, folder + ": not a file with text in it"},
		"endless file":  {SecretRef{File: "/dev/zero"}, "/dev/zero: not a file with text in it"},
		"empty file":    {SecretRef{File: kept(t, "\n")}, "it is empty"},
		"blank file":    {SecretRef{File: kept(t, "  \n")}, "it is empty"},
		"several lines": {SecretRef{File: kept(t, secretText+"\nb\n")}, "it has several lines: leave the secret and nothing else"},
		"large file":    {SecretRef{File: kept(t, strings.Repeat(secretText, 1000))}, "larger than 16384 bytes, so not a secret"},
		"no variable":   {SecretRef{Env: "NOT_SET"}, "read secret from $NOT_SET: it is empty"},
	} {
		_, err := c.ref.Read(noEnv)
		if err == nil || !strings.HasSuffix(err.Error(), c.want) {
			t.Errorf("%s: %v, want it to end in %q", what, err, c.want)
		}
		if err != nil && strings.Contains(err.Error(), secretText) {
			t.Errorf("%s: the secret shows in %q", what, err)
		}
	}
}

// A secret that was typed into the site file is refused with the key that takes
// its place, whatever else is wrong with the line, and is not repeated.
func TestASecretInTheFileIsRefusedAndNotRepeated(t *testing.T) {
	const places = " must not stand in this file: put it into a file of its own and name that with "
	for text, want := range map[string]string{
		service + "url = \"" + secretText + "\"\n":                  "url" + places + "url_file, or an environment variable with url_env",
		service + "token = \"" + secretText + "\"\n":                "token" + places + "url_file, or an environment variable with url_env",
		letters + "user = \"b\"\npassword = \"" + secretText + "\"": "password" + places + "password_file, or an environment variable with password_env",
		hook + "url_env = \"X\"\nkey = \"" + secretText + "\"\n":    "key" + places + "key_file, or an environment variable with key_env",
		"[heartbeat]\nurl = \"" + secretText + "\"\n":               "url" + places + "url_file, or an environment variable with url_env",
		broker + "password = \"" + secretText + "\"\n":              "password" + places + "password_file",
		"[[channel]]\n\"url\" = \"" + secretText + "\"\n":           "url" + places + "url_file",
		service + "URL = \"" + secretText + "\"\n":                  `write "URL" in small letters: url`,

		service + "url_file = \"" + secretText + "\"\n": "url_file must be the whole path of a file",
		service + "url_env = \"" + secretText + "\"\n":  "url_env must be the name of an environment variable",
		letters + "passwd = \"" + secretText + "\"\n":   `unknown key in "passwd = ..."; known here: name, kind`,
		"[phone]\napi_key = \"" + secretText + "\"\n":   `unknown key in "api_key = ..."; known here: address`,

		service + "url_file = " + secretText + "\n":                                      `"url_file = ..."`,
		service + "url_file = [\"" + secretText + "\"]\n":                                `url_file wants text in "quotes": "url_file = ..."`,
		service + "url = \"" + secretText + "\n":                                         `"url = ..."`,
		service + secretText + "\n":                                                      `"..."`,
		service + "url_file = \"\"\"\n" + secretText + "\n":                              "not valid TOML",
		"channel = [{name = \"x\", kind = \"service\", url = \"" + secretText + "\"}]\n": `unknown key in "channel = ..."`,
		"[phone]\naddress = \"https://robin:" + secretText + "@yard.example\"\n":         "address must not hold a name or password",
	} {
		got := said(t, text+"\n")
		if !strings.Contains(got, want) {
			t.Errorf("%s\nis answered\n%s\nwant in it\n%s", text, got, want)
		}
		for part := range strings.SplitSeq(secretText, "-") {
			if strings.Contains(got, part) {
				t.Errorf("%s\nthe secret is repeated: %s", text, got)
			}
		}
	}
}

// However a line with a secret is broken, no error repeats it.
func TestABrokenLineDoesNotRepeatItsSecret(t *testing.T) {
	const mark = "t0p=Secret=" // as Base64 ends
	forms := []string{
		"%s = \"S\"", "%s = S", "%s = \"S", "%s = 'S", "%s \"S\"", "%s: S", "%s = [\"S\"]", "%s = [\n\"S\",", "%s = {S}",
		"%s = {a = \"S\"}", "%s = \"\"\"\nS\n\"\"\"", "%s = \"\"\"\nS\n", "%s = \"\\S\"", "%s = \"a\" S", "%s = 1S", "\"%s\" = \"S\"", "S",
		"%s = \"a\"\n%[1]s = \"S\"",
	}
	for _, table := range []string{service, hook, letters, "[heartbeat]\n", "[ \"heartbeat\" ] # why\n", broker} {
		for _, key := range []string{"url", "password", "key", "token", "url_file", "url_env", "password_file", "secret", "Pass"} {
			for _, form := range forms {
				line := form
				if strings.Contains(form, "%") {
					line = fmt.Sprintf(form, key)
				}
				text := table + strings.ReplaceAll(line, "S", mark) + "\n"
				if got := said(t, text); strings.Contains(got, "Secret") || strings.Contains(got, "t0p") {
					t.Errorf("%s\nis answered with its secret:\n%s", text, got)
				}
			}
		}
	}
}

// CheckSecrets looks where the file points and tells each place by its line.
func TestCheckSecretsTellsWhatIsMissingOpenOrUnfit(t *testing.T) {
	open := kept(t, "https://yard.example/"+secretText+"\n")
	if err := os.Chmod(open, 0o644); err != nil {
		t.Fatal(err)
	}
	text := service + "url_env = \"CHAT\"\n" + hook + fmt.Sprintf("url_file = %q\nkey_file = %q\n", open, kept(t, "short"))
	text += fmt.Sprintf("[heartbeat]\nurl_file = %q\n", kept(t, secretText)) + letters + "user = \"b\"\npassword_file = \"/none/at/all\"\n"
	warnings, err := mustParse(t, text+designExample).CheckSecrets(noEnv)
	same(t, "warnings", strings.Join(warnings, "\n"),
		"test.toml line 4: [[channel]] \"s\": url_env: $CHAT is not set here; the daemon must find it in its environment\n"+
			fmt.Sprintf(`test.toml line 8: [[channel]] "h": url_file: %s is readable by others (mode 0644): chmod 600 %[1]s, or 640 if the daemon reads it by its group`, open))
	if err == nil {
		t.Fatal("a key that is too short and a file that is missing pass")
	}
	got := err.Error()
	for _, want := range []string{
		`test.toml line 9: [[channel]] "h": key_file: what `, " holds is too short for a key: at least 16 bytes\n",
		`test.toml line 11: [heartbeat]: url_file: what `, " holds is no http:// or https:// address",
		`test.toml line 19: [[channel]] "m": password_file: read secret from /none/at/all: file does not exist`,
	} {
		if !strings.Contains(got, want) {
			t.Errorf("errors are\n%s\nwant in it %q", got, want)
		}
	}
	if strings.Contains(got, secretText) || strings.Contains(got, "short\"") {
		t.Errorf("a secret shows in %q", got)
	}
}

// A site whose secrets are all in place is told nothing.
func TestCheckSecretsIsContentWithWhatIsInPlace(t *testing.T) {
	text := service + "url_env = \"CHAT\"\n" + hook +
		fmt.Sprintf("url_file = %q\nkey_file = %q\n", kept(t, "https://yard.example/x\n"), kept(t, "0123456789abcdef\n"))
	env := func(name string) string { return map[string]string{"CHAT": "kind://host/" + secretText}[name] }
	warnings, err := mustParse(t, text+designExample).CheckSecrets(env)
	if err != nil || len(warnings) > 0 {
		t.Errorf("told %q, %v", warnings, err)
	}
}
