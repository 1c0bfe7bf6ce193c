package record

import (
	"testing"
	"time"
)

// A site says how its clocks stand now, summer time included (Ireland is an hour ahead
// of UTC from the last Sunday of March to that of October: Directive 2000/84/EC, from
// memory); what could not be read again is refused.
func TestASiteSaysHowItsClocksStand(t *testing.T) {
	dublin, err := time.LoadLocation("Europe/Dublin")
	if err != nil {
		t.Fatal(err)
	}
	for at, want := range map[time.Time]int{
		time.Date(2026, 10, 25, 0, 59, 59, 0, time.UTC): 3600,
		time.Date(2026, 10, 25, 1, 0, 0, 0, time.UTC):   0,
		time.Date(2026, 3, 29, 1, 0, 0, 0, time.UTC):    3600,
	} {
		b := SiteOf("Alder Yard", dublin, at)
		if b != (Site{Name: "Alder Yard", Zone: "Europe/Dublin", UTC: want}) {
			t.Errorf("at %s: %+v, want %d s", at, b, want)
		}
		if here, there := at.In(b.Clock()), at.In(dublin); here.Format(time.DateTime) != there.Format(time.DateTime) {
			t.Errorf("by the entry it is %s, by the zone %s", here, there)
		}
	}
	for b, want := range map[Site]bool{
		{Name: "Alder Yard", Zone: "UTC"}:                           true,
		{Name: "Alder Yard", Zone: "America/St_Johns", UTC: -12600}: true,
		{Zone: "UTC"}:        false,
		{Name: "Alder Yard"}: false,
		{Name: "Alder Yard", Zone: "UTC", UTC: 86400}: false,
	} {
		e, err := Of(time.Second, time.Unix(0, 0), "", b)
		if (err == nil) != want {
			t.Errorf("%+v: %v, want taken %v", b, err, want)
			continue
		}
		var back Site
		if want && (e.Kind != KindSite || e.Decode(&back) != nil || back != b) {
			t.Errorf("%+v comes back as %+v of kind %s", b, back, e.Kind)
		}
	}
}
