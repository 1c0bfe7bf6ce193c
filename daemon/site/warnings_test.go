package site

import (
	"strings"
	"testing"
)

// What is allowed and probably not meant is told.
func TestWarningsTellWhatIsProbablyNotMeant(t *testing.T) {
	const chat = service + "url_env = \"X\"\n" + robin + "channels = [\"s\"]\n"
	const address = "[phone]\naddress = \"https://yard.example\"\n"
	for about, c := range map[string]struct{ text, want string }{
		"nothing of calls":  {"", ""},
		"all in order":      {address + chat, ""},
		"a buzzer alone":    {buzzer + "pin = \"GPIO17\"\n", ""},
		"a channel unused":  {address + chat + hook + "url_env = \"X\"\nkey_env = \"Y\"\n", "channel h is in no [[contact]], so nothing goes through it"},
		"channels, nobody":  {service + "url_env = \"X\"\n", "channel s is in no [[contact]], so nothing goes through it"},
		"only the gravest":  {address + chat + "least = \"critical\"\n", `every contact has least = "critical", so nobody is called when a dish is bare`},
		"no address":        {chat, "[phone] has no address, so messages carry no link and are answered on the page only"},
		"this machine":      {"[phone]\naddress = \"http://[::1]:8470\"\n" + chat, "http://[::1]:8470 is this machine itself: a phone finds nothing there"},
		"unsafe, elsewhere": {"[phone]\naddress = \"http://yard.example\"\n" + chat, "the pages are served to this machine only (127.0.0.1:8470): what is at http://yard.example must pass them on\nhttps:// is better for address: over http:// whoever shares the network can read along, and answer in another's name"},
		"push without https": {
			strings.Replace(push, "[phone]\n", "[phone]\naddress = \"http://127.0.0.2.example\"\n", 1) + robin + "channels = [\"p\"]\n",
			"the pages are served to this machine only (127.0.0.1:8470): what is at http://127.0.0.2.example must pass them on\nbrowsers allow push only to pages under https://, so no phone can sign up for p at http://127.0.0.2.example",
		},
	} {
		s := mustParse(t, c.text+designExample)
		if got := strings.Join(s.Warnings(), "\n"); got != c.want {
			t.Errorf("%s: warned\n%s\nwant\n%s", about, got, c.want)
		}
		for _, warning := range s.Warnings() {
			if !strings.Contains(s.Explain(), "Warning: "+warning+".\n") {
				t.Errorf("%s: the explanation leaves out %q", about, warning)
			}
		}
	}
}

// Who is called when is told for the gravest alarm and for the commonest.
func TestExplanationTellsWhoIsCalledWhen(t *testing.T) {
	for about, c := range map[string]struct{ text, want string }{
		"nobody": {"", "Nobody is called: alarms show on the open page only.\n"},
		"each after those before": {
			service + "url_env = \"X\"\n" + robin + "channels = [\"s\"]\nwait_min = 2\nleast = \"medium\"\n" +
				"[[contact]]\nname = \"Sorrel\"\nchannels = [\"s\"]\nleast = \"critical\"\nwait_min = 7\n" +
				"[[contact]]\nname = \"Oona\"\nchannels = [\"s\"]\n[phone]\nrepeat_min = 1\n",
			"If north boils dry (critical): Robin at once through s, again every 1 min; Sorrel after 2 min through s; Oona after 9 min through s; until somebody answers.\n" +
				"If north wants water (medium): Robin at once through s; Oona after 2 min through s; until somebody answers.\n",
		},
		"nobody for little": {
			service + "url_env = \"X\"\n" + robin + "channels = [\"s\"]\nleast = \"high\"\n",
			"If north boils dry (critical): Robin at once through s, again every 3 min; until somebody answers.\n" +
				"If north wants water (medium): nobody is called.\n",
		},
	} {
		if got := mustParse(t, c.text+designExample).Explain(); !strings.Contains(got, c.want) {
			t.Errorf("%s: explained as\n%s\nwant in it\n%s", about, got, c.want)
		}
	}
}
