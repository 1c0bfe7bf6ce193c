package alive_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"bainward/daemon/phone/alive"
	"bainward/rules/alarm"
)

// tale lets a sibling say words at some seconds, ticks every second until the
// end, and returns what people were told, and when.
func tale(o alive.PeerOptions, linked func(second int) bool, words map[int]string, until int) []string {
	o.Site = "Alder Yard"
	const begins = 1000 * time.Hour // the clock goes on over restarts
	var p alive.Peer
	var told []string
	for s := range until + 1 {
		var news *alive.PeerNews
		p, news = p.Step(o, alive.PeerInput{At: begins + time.Duration(s)*time.Second, Linked: linked(s), Word: words[s]})
		if news != nil {
			told = append(told, fmt.Sprintf("%ds %s %s", s, news.Kind, news.Priority))
		}
	}
	return told
}

// A sibling that ends is told after its grace, once, and so is its return; a
// restart within the grace is told to nobody.
func TestASiblingThatEndsIsTold(t *testing.T) {
	always := func(int) bool { return true }
	for _, c := range []struct {
		name  string
		o     alive.PeerOptions
		words map[int]string
		want  []string
	}{
		{"all well", alive.PeerOptions{Expected: true}, map[int]string{1: "online"}, nil},
		{"lost", alive.PeerOptions{}, map[int]string{1: "online", 100: "offline"}, []string{"130s lost high"}},
		{"lost before we came", alive.PeerOptions{}, map[int]string{1: "offline"}, []string{"31s lost high"}},
		{"said again and again", alive.PeerOptions{}, map[int]string{1: "online", 100: "offline", 120: "offline", 200: "offline"}, []string{"130s lost high"}},
		{"a restart", alive.PeerOptions{}, map[int]string{1: "online", 100: "offline", 129: "online"}, nil},
		{"lost and back", alive.PeerOptions{}, map[int]string{1: "online", 100: "offline", 200: "online"}, []string{"130s lost high", "230s watches low"}},
		{"back for a moment", alive.PeerOptions{}, map[int]string{1: "online", 100: "offline", 200: "online", 220: "offline"}, []string{"130s lost high"}},
		{"restarts again and again", alive.PeerOptions{},
			map[int]string{1: "online", 100: "offline", 110: "online", 120: "offline", 128: "online", 138: "offline", 145: "online", 155: "offline"},
			[]string{"138s lost high"}},
		{"two restarts a while apart", alive.PeerOptions{},
			map[int]string{1: "online", 100: "offline", 110: "online", 145: "offline", 160: "online"}, nil},
		{"stopped in order", alive.PeerOptions{}, map[int]string{1: "online", 100: "stopped"}, []string{"130s was-stopped low"}},
		{"stopped and started", alive.PeerOptions{}, map[int]string{1: "online", 100: "stopped", 110: "online"}, nil},
		{"stopped, then lost", alive.PeerOptions{}, map[int]string{1: "online", 100: "stopped", 200: "online", 210: "offline"},
			[]string{"130s was-stopped low", "210s lost high"}},
		{"lost, then stopped", alive.PeerOptions{}, map[int]string{1: "online", 100: "offline", 200: "stopped", 210: "offline"}, []string{"130s lost high"}},
		{"never heard", alive.PeerOptions{Expected: true}, nil, []string{"300s never-heard high"}},
		{"never heard, nor expected", alive.PeerOptions{}, nil, nil},
		{"heard at last", alive.PeerOptions{Expected: true}, map[int]string{320: "online"}, []string{"300s never-heard high", "350s watches low"}},
		{"heard at last, that it is off", alive.PeerOptions{Expected: true}, map[int]string{320: "offline"}, []string{"300s never-heard high"}},
		{"words of somebody else", alive.PeerOptions{}, map[int]string{1: "online", 100: "OFFLINE", 200: "broken"}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := tale(c.o, always, c.words, 400); !slices.Equal(got, c.want) {
				t.Errorf("told %v, want %v", got, c.want)
			}
		})
	}
}

// While we are away from the broker ourselves, that we hear nothing is no news of
// the sibling.
func TestNotHearingCountsOnlyWhileWeListen(t *testing.T) {
	away := func(s int) bool { return s < 100 || s >= 250 }
	got := tale(alive.PeerOptions{Expected: true}, away, nil, 600)
	if want := []string{"450s never-heard high"}; !slices.Equal(got, want) {
		t.Errorf("told %v, want %v", got, want)
	}
}

// The words fit a lock screen, name the site, and say what to do about the baths.
func TestTheWordsFitAndSayWhatToDo(t *testing.T) {
	site := strings.Repeat("Ä", 40)
	for word, want := range map[string]string{
		"offline": "look whether a bath there is lit", "stopped": "never leave a lit bath there alone", "": "look whether a bath there is lit",
	} {
		var p alive.Peer
		var news *alive.PeerNews
		for s := 0; news == nil && s <= 300; s++ {
			p, news = p.Step(alive.PeerOptions{Site: site, Expected: true}, alive.PeerInput{At: time.Duration(s) * time.Second, Linked: true, Word: word})
		}
		if news == nil || !strings.Contains(news.Text, site) || !strings.HasSuffix(news.Text, want) || utf8.RuneCountInString(news.Text) > 180 {
			t.Errorf("%q: told %+v", word, news)
		}
		if news != nil && (news.Priority == alarm.High) == (word == "stopped") {
			t.Errorf("%q is of %s priority", word, news.Priority)
		}
	}
}
