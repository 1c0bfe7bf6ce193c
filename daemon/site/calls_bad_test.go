package site

import (
	"strings"
	"testing"
)

// push, service, hook and letters are right but for what a case adds.
const (
	push    = "[phone]\nsubject = \"mailto:k@yard.example\"\n[[channel]]\nname = \"p\"\nkind = \"push\"\ncontact = \"Robin\"\n"
	service = "[[channel]]\nname = \"s\"\nkind = \"service\"\n"
	hook    = "[[channel]]\nname = \"h\"\nkind = \"webhook\"\n"
	letters = "[[channel]]\nname = \"m\"\nkind = \"mail\"\nhost = \"mail.yard.example\"\nfrom = \"b@yard.example\"\nto = [\"r@yard.example\"]\n"
	buzzer  = "[[channel]]\nname = \"b\"\nkind = \"pin\"\n"
	robin   = "[[contact]]\nname = \"Robin\"\n"
	broker  = "[broker]\nurl = \"mqtt://127.0.0.1\"\n"
)

// Each key refuses what it cannot mean, on its line, in these words.
func TestEveryKeyAboutCallsRefusesWhatItCannotMean(t *testing.T) {
	for _, c := range badCalls {
		t.Run(c.about, func(t *testing.T) {
			if got := said(t, c.text); got != c.want {
				t.Errorf("%s\nis answered\n%s\nwant\n%s", c.text, got, c.want)
			}
		})
	}
}

var badCalls = []struct{ about, text, want string }{
	{"address with path", "[phone]\naddress = \"https://yard.example/pages\"\n",
		`2 [phone]: address must end after host and port: the links add their own paths`},
	{"address with user", "[phone]\naddress = \"https://robin:pw@yard.example\"\n",
		`2 [phone]: address must not hold a name or password: it stands in every message`},
	{"address of another kind", "[phone]\naddress = \"alder-yard.local:8080\"\n",
		`2 [phone]: address must be http://host:port or https://host:port, such as "https://alder-yard.example"`},
	{"repeat too rare", "[phone]\nrepeat_min = 60\n",
		`2 [phone]: repeat_min = 60 must be from 1 (oftener, and people turn it off) to 20 (a dish may be bare by then)`},
	{"subject", "[phone]\nsubject = \"keeper@yard.example\"\n",
		`2 [phone]: subject must be mailto: and a mail address, or an https:// address: whom a push service may write to`},
	{"push without subject", strings.TrimPrefix(push, "[phone]\nsubject = \"mailto:k@yard.example\"\n") + robin + "channels = [\"p\"]\n",
		`1 [[channel]] "p": push needs subject in [phone]: whom a push service may write to, such as "mailto:keeper@alder-yard.example"`},
	{"two phones", "[[phone]]\nrepeat_min = 3\n",
		`1 : phone wants a [table] in single brackets: "[[phone]]"`},

	{"one channel in single brackets", strings.Replace(buzzer, "[[channel]]", "[channel]", 1) + "pin = \"GPIO17\"\n",
		"1 [channel]: write [[channel]] in double brackets: there can be several\n" +
			`1 [[channel]] number 1: pin is missing: where the buzzer or lamp is, such as "GPIO17"`},
	{"channel without name", "[[channel]]\nkind = \"service\"\nurl_env = \"X\"\n",
		`1 [[channel]] number 1: name is missing: what contacts call this channel`},
	{"channel of the same name", service + "url_env = \"X\"\n[[channel]]\nname = \"S\"\nkind = \"pin\"\npin = \"GPIO17\"\n",
		`6 [[channel]] "S": name = "S" is taken by line 2: names must differ`},
	{"kind", "[[channel]]\nname = \"x\"\nkind = \"pigeon\"\n",
		`3 [[channel]] "x": kind = "pigeon" must be push, service, mail, webhook or pin`},
	{"key of another kind", service + "url_env = \"X\"\npicture = true\n",
		`5 [[channel]] "s": picture means nothing for a channel of kind "service"`},
	{"push for nobody", strings.Replace(push, "contact = \"Robin\"\n", "", 1),
		`3 [[channel]] "p": contact is missing: whose devices get these messages`},
	{"push for a stranger", push + "[[contact]]\nname = \"Robyn\"\nchannels = [\"p\"]\n",
		"6 [[channel]] \"p\": contact = \"Robin\" is no [[contact]]; did you mean \"Robyn\"?\n" +
			`9 [[contact]] "Robyn": channels holds "p", which reaches the devices of "Robin": give "Robyn" a push channel of their own`},

	{"no secret", service, `1 [[channel]] "s": url_file or url_env is missing: the file, or the environment variable, that holds the address of the service`},
	{"two places", service + "url_file = \"/a\"\nurl_env = \"A\"\n",
		`5 [[channel]] "s": url_env and url_file exclude each other: keep the secret in one place`},
	{"no key", hook + "url_file = \"/a\"\n",
		`1 [[channel]] "h": key_file or key_env is missing: the file, or the environment variable, that holds the key that signs what is sent`},

	{"mail without anything", "[[channel]]\nname = \"m\"\nkind = \"mail\"\n",
		"1 [[channel]] \"m\": host is missing: the mail server\n" +
			"1 [[channel]] \"m\": from = \"\" must be one mail address, such as \"bainward@alder-yard.example\"\n" +
			`1 [[channel]] "m": to must list 1 to 20 mail addresses, such as ["robin@alder-yard.example"]`},
	{"host with more", strings.Replace(letters, "mail.yard", "smtp://mail.yard", 1),
		`4 [[channel]] "m": host must be the name of the mail server alone, such as "mail.alder-yard.example"`},
	{"port", letters + "port = 70000\n", `7 [[channel]] "m": port = 70000 must be from 1 to 65535`},
	{"tls", letters + "tls = \"ssl\"\n", `7 [[channel]] "m": tls = "ssl" must be "starttls", "tls" or "none"`},
	{"no tls to elsewhere", letters + "tls = \"none\"\n",
		`7 [[channel]] "m": tls = "none" sends the password in the clear: only to localhost`},
	{"user without password", letters + "user = \"b\"\n",
		`1 [[channel]] "m": password_file or password_env is missing: the file, or the environment variable, that holds the password of user`},
	{"password without user", letters + "password_env = \"PW\"\n", `1 [[channel]] "m": user is missing: whose password it is`},
	{"empty user", letters + "user = \"\"\n", `7 [[channel]] "m": user is empty: name the account, or leave the key out`},
	{"from with a name", strings.Replace(letters, "b@yard.example", "Bain <b@yard.example>", 1),
		`5 [[channel]] "m": from = "Bain <b@yard.example>" must be one mail address, such as "bainward@alder-yard.example"`},
	{"to twice, to nobody", strings.Replace(letters, "[\"r@yard.example\"]", "[\"r@y\", \"r@y\", \"robin\\r\\nBcc: x\"]", 1),
		"6 [[channel]] \"m\": to holds \"r@y\" twice\n" + `6 [[channel]] "m": to holds "robin\r\nBcc: x", which is no mail address`},

	{"no pin", buzzer, `1 [[channel]] "b": pin is missing: where the buzzer or lamp is, such as "GPIO17"`},
	{"pin's number alone", buzzer + "pin = \"17\"\n",
		`4 [[channel]] "b": pin = "17" must be GPIO2 to GPIO27, such as "GPIO17": the number of the chip, not of the place on the header`},
	{"pin not on the header", buzzer + "pin = \"GPIO28\"\n",
		`4 [[channel]] "b": pin = "GPIO28" must be GPIO2 to GPIO27, such as "GPIO17": the number of the chip, not of the place on the header`},
	{"pin of the wire", buzzer + "pin = \"GPIO4\"\n",
		`4 [[channel]] "b": pin = "GPIO4" is taken by the kernel's 1-Wire bus: choose another`},
	{"pins of the barometer", buzzer + "pin = \"GPIO3\"\n[barometer]\nbus = \"1\"\n",
		`4 [[channel]] "b": pin = "GPIO3" is taken by I²C bus 1: choose another`},
	{"pins of the bridge", buzzer + "pin = \"GPIO2\"\n[[wire]]\nkind = \"bridge\"\nbus = \"/dev/i2c-1\"\n",
		`4 [[channel]] "b": pin = "GPIO2" is taken by I²C bus 1: choose another`},
	{"pin twice", buzzer + "pin = \"GPIO17\"\n[[cutout]]\nbath = \"north\"\nmode = \"level\"\npin = \"GPIO17\"\n",
		`8 [[cutout]] "north": pin = "GPIO17" is taken by [[channel]] "b" on line 4: choose another`},
	{"active and least", buzzer + "pin = \"GPIO17\"\nactive = \"on\"\nleast = \"grave\"\n",
		"5 [[channel]] \"b\": active = \"on\" must be \"high\" or \"low\": the level at which it sounds or lights\n" +
			`6 [[channel]] "b": least = "grave" must be low, medium, high or critical`},

	{"contact without name", service + "url_env = \"X\"\n[[contact]]\nchannels = [\"s\"]\n", `5 [[contact]] number 1: name is missing: who is called`},
	{"contact's name", service + "url_env = \"X\"\n[[contact]]\nname = \"<Robin>\"\nchannels = [\"s\"]\n",
		`6 [[contact]] "<Robin>": name = "<Robin>" must be at most 40 bytes of letters, digits, spaces and . ' -`},
	{"contact twice", service + "url_env = \"X\"\n" + robin + "channels = [\"s\"]\n[[contact]]\nname = \"ROBIN\"\nchannels = [\"s\"]\n",
		`9 [[contact]] "ROBIN": name = "ROBIN" is taken by line 6: names must differ, in more than capitals`},
	{"no channels", robin, `1 [[contact]] "Robin": channels is missing: through which [[channel]] to call, such as ["robin-phone"]`},
	{"channel that is not there", service + "url_env = \"X\"\n" + robin + "channels = [\"pager\", \"ss\", \"s\", \"s\"]\n",
		"7 [[contact]] \"Robin\": channels holds \"pager\", which is no [[channel]]; named: s\n" +
			"7 [[contact]] \"Robin\": channels holds \"ss\", which is no [[channel]]; did you mean \"s\"?\n" +
			`7 [[contact]] "Robin": channels holds "s" twice`},
	{"pin in a contact", buzzer + "pin = \"GPIO17\"\n" + robin + "channels = [\"b\"]\n",
		`7 [[contact]] "Robin": channels holds "b", which is on a pin: whoever is near hears it, so it is in no contact`},
	{"wait, least, quiet", service + "url_env = \"X\"\n" + robin + "channels = [\"s\"]\nwait_min = 0\nleast = \"none\"\nquiet = \"22-7\"\n",
		"8 [[contact]] \"Robin\": wait_min = 0 must be from 1 (hands must be dried first) to 20 (a dish may be bare by then)\n" +
			"9 [[contact]] \"Robin\": least = \"none\" must be low, medium, high or critical\n" +
			`10 [[contact]] "Robin": quiet = "22-7" must be two times of day, such as "22:00-07:00"`},
	{"quiet past midnight", service + "url_env = \"X\"\n" + robin + "channels = [\"s\"]\nquiet = \"22:00-24:00\"\n",
		`8 [[contact]] "Robin": quiet = "22:00-24:00" must be two times of day, such as "22:00-07:00"`},
	{"quiet for ever", service + "url_env = \"X\"\n" + robin + "channels = [\"s\"]\nquiet = \"07:00-07:00\"\n",
		`8 [[contact]] "Robin": quiet = "07:00-07:00" holds no minute, or all: leave the key out, or set least higher`},

	{"heartbeat without address", "[heartbeat]\nevery_s = 60\n",
		`1 [heartbeat]: url_file or url_env is missing: the file, or the environment variable, that holds the address to tell`},
	{"heartbeat too rare", "[heartbeat]\nurl_env = \"BEAT\"\nevery_s = 3600\n", `3 [heartbeat]: every_s = 3600 must be from 10 to 900`},

	{"sibling without broker", "[[sibling]]\nsite = \"Long Meadow\"\n",
		`1 [[sibling]] "Long Meadow": a sibling is watched through a broker, and this file has no [broker]`},
	{"sibling without name", broker + "[[sibling]]\n", `3 [[sibling]] number 1: site is missing: the name that the other daemon's site file gives`},
	{"sibling that cannot be", broker + "[[sibling]]\nsite = \"Long/Meadow\"\n",
		`4 [[sibling]] "Long/Meadow": site = "Long/Meadow" is no site's name: at most 64 bytes without + # / and control characters`},
	{"sibling of itself", broker + "[[sibling]]\nsite = \"alder yard\"\n",
		`4 [[sibling]] "alder yard": site = "alder yard" is this site itself: its own end it cannot tell`},
	{"sibling twice", broker + "[[sibling]]\nsite = \"Long Meadow\"\n[[sibling]]\nsite = \"Long-Meadow\"\n",
		`6 [[sibling]] "Long-Meadow": site = "Long-Meadow" is watched on line 4 already`},

	{"cut-out of no bath", "[[cutout]]\npin = \"GPIO27\"\nmode = \"pulse\"\n", `1 [[cutout]] number 1: bath is missing: from which bath the heat is taken`},
	{"cut-out of another bath", "[[cutout]]\nbath = \"nroth\"\npin = \"GPIO27\"\nmode = \"pulse\"\n",
		`2 [[cutout]] "nroth": bath = "nroth" is no [[bath]]; did you mean "north"?`},
	{"two cut-outs", "[[cutout]]\nbath = \"north\"\npin = \"GPIO27\"\nmode = \"pulse\"\n[[cutout]]\nbath = \"north\"\npin = \"GPIO22\"\nmode = \"level\"\n",
		`6 [[cutout]] "north": bath = "north" has a cut-out on line 2 already`},
	{"cut-out by nothing", "[[cutout]]\nbath = \"north\"\n", `1 [[cutout]] "north": pin or topic is missing: by what the heat is taken away`},
	{"cut-out both ways", broker + "[[cutout]]\nbath = \"north\"\npin = \"GPIO27\"\ntopic = \"a\"\n",
		`6 [[cutout]] "north": topic and pin exclude each other: one cut-out goes one way`},
	{"mode", "[[cutout]]\nbath = \"north\"\npin = \"GPIO27\"\nmode = \"steady\"\non = \"1\"\n",
		"4 [[cutout]] \"north\": mode = \"steady\" must be \"pulse\" (it changes while the heat may stay on, so that a daemon that hangs cuts it too) or \"level\"\n" +
			`5 [[cutout]] "north": on means nothing for a cut-out on a pin`},
	{"topic without broker", "[[cutout]]\nbath = \"north\"\ntopic = \"a/set\"\n",
		`3 [[cutout]] "north": topic needs a broker, and this file has no [broker]`},
	{"topic with wildcard", broker + "[[cutout]]\nbath = \"north\"\ntopic = \"a/#\"\nmode = \"pulse\"\n",
		"5 [[cutout]] \"north\": topic = \"a/#\" must be one topic, without + and # and not beginning with $, such as \"workshop/socket1/set\"\n" +
			`6 [[cutout]] "north": mode means nothing for a cut-out through the broker`},
	{"on is off", broker + "[[cutout]]\nbath = \"north\"\ntopic = \"a/set\"\non = \"OFF\"\nevery_s = 0\n",
		"3 [[cutout]] \"north\": on and off are both \"OFF\": a socket must tell them apart\n" +
			`7 [[cutout]] "north": every_s = 0 must be from 1 to 60`},
}
