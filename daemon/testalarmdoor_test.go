package main

import (
	"bytes"
	"encoding/pem"
	"fmt"
	"net/http"
	"os/user"
	"strings"
	"testing"
	"time"

	"bainward/daemon/people"
	"bainward/daemon/record"
)

// Where people sign in and the pages come under TLS, be the certificate given or
// self-made, the command still finds the daemon, has it send the proofs, and the
// record says which user of this machine asked for them. It shows no secret.
func TestTheAlarmsAreTestedThroughTheDoor(t *testing.T) {
	u, err := user.Current()
	if err != nil {
		t.Fatal(err)
	}
	t.Setenv("SUDO_USER", "")
	for name, c := range map[string]struct {
		says string // by the daemon, once it is up
		door func(y *doorYard) string
	}{
		"self-made": {"fingerprint", func(*doorYard) string { return "[door]\ntls = \"self-made\"\n" }},
		"given": {"pages are at", func(y *doorYard) string {
			made, err := selfMade([]string{"127.0.0.1", "alder-yard.example"}, time.Now())
			if err != nil {
				y.t.Fatal(err)
			}
			var parts []string
			for b, rest := pem.Decode(made); b != nil; b, rest = pem.Decode(rest) {
				parts = append(parts, string(pem.EncodeToMemory(b)))
			}
			return fmt.Sprintf("[door]\ntls_cert = %q\ntls_key = %q\n", y.file("cert.pem", parts[0]), y.file("key.pem", parts[1]))
		}},
	} {
		t.Run(name, func(t *testing.T) {
			far, heard := answering(t, http.StatusOK)
			y := newDoorYardWith(t, c.says, func(y *doorYard) string {
				return fmt.Sprintf("[[channel]]\nname = \"desk\"\nkind = \"webhook\"\nurl_file = %q\nkey_file = %q\n[[contact]]\nname = \"Robin\"\nchannels = [\"desk\"]\n",
					y.file("desk.url", far+"/"+plantedPath), y.file("desk.key", plantedKey)) + c.door(y)
			})
			var out, said bytes.Buffer
			code := run(t.Context(), []string{"test-alarm", "--site", y.site, "--listen", y.listen, "--record", y.record}, &out, &said)
			mustSay(t, out.String(), "worked  Robin through desk (webhook): 200 OK\n", "The daemon at "+y.listen+" sent these and recorded them")
			if code != exitDone || said.Len() > 0 || heard.Load() != 1 {
				t.Errorf("exit code %d, %q; Robin was sent %d messages", code, &said, heard.Load())
			}
			notices := entries[record.Notice](y, record.KindNotice)
			if len(notices) != 1 || notices[0].Why != "proof" || notices[0].By != people.OnCommandLine(u.Username) {
				t.Errorf("the record says %+v, want one proof asked for by %s", notices, u.Username)
			}
			token, err := people.CommandToken(y.record)
			if err != nil || token == "" {
				t.Fatalf("the token is %q, %v", token, err)
			}
			for _, secret := range []string{token, plantedPath, plantedKey, robinsWords} {
				if strings.Contains(out.String()+y.out.String(), secret) {
					t.Errorf("a secret is shown:\n%s%s", &out, y.out)
				}
			}
		})
	}
}
