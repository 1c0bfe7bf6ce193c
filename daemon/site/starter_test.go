package site

import (
	"strings"
	"testing"

	"bainward/sensors"
)

func sample(t *testing.T, address string, celsius float64) sensors.Sample {
	t.Helper()
	a, err := sensors.ParseAddress(address)
	if err != nil {
		t.Fatal(err)
	}
	return sensors.Sample{Address: a, Reading: sensors.AtCelsius(celsius)}
}

func TestStarterPassesParseAndTakesTheWarmestForTheBath(t *testing.T) {
	oil, bath := sample(t, "28-000005fba71c", 19.5), sample(t, "28-00000bbb9b13", 24.25)
	room, spare := sample(t, "28-00001010d6ca", 18), sample(t, "28-000087433e00", 21)
	for name, c := range map[string]struct {
		found []sensors.Sample
		want  [sensors.RoleCount]sensors.Address
	}{
		"two probes":   {[]sensors.Sample{bath, oil}, [...]sensors.Address{oil.Address, bath.Address, 0}},
		"three probes": {[]sensors.Sample{oil, bath, room}, [...]sensors.Address{oil.Address, bath.Address, room.Address}},
		"four probes":  {[]sensors.Sample{spare, room, bath, oil}, [...]sensors.Address{oil.Address, bath.Address, room.Address}},
	} {
		text, err := Starter(c.found, Wire{})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		s, err := Parse("starter.toml", text)
		if err != nil {
			t.Fatalf("%s: %v\n%s", name, err, text)
		}
		if got := s.Baths[0].Probes; got != c.want {
			t.Errorf("%s: roles are %v, want %v", name, got, c.want)
		}
		if !strings.Contains(string(text), "a guess") {
			t.Errorf("%s: the file does not say that the roles are a guess", name)
		}
	}
}

func TestStarterNamesTheWireOnWhichTheProbesWere(t *testing.T) {
	found := []sensors.Sample{sample(t, "28-000005fba71c", 19.5), sample(t, "28-00000bbb9b13", 24.25)}
	for _, wire := range []Wire{
		{},
		{Kind: KernelWire, Root: `/tmp/a "quoted" \ folder`},
		{Kind: BridgeWire, Bus: "1", Address: 0x19},
	} {
		text, err := Starter(found, wire)
		if err != nil {
			t.Fatal(err)
		}
		s, err := Parse("starter.toml", text)
		if err != nil {
			t.Fatalf("%+v: %v", wire, err)
		}
		if len(s.Wires) != 1 || s.Wires[0] != wire {
			t.Errorf("wires are %+v, want %+v", s.Wires, wire)
		}
	}
}

func TestStarterNeedsTwoProbesThatAnswered(t *testing.T) {
	silent := sample(t, "28-000005fba71c", 0)
	silent.Reading = sensors.Failed(sensors.Absent)
	_, err := Starter([]sensors.Sample{silent, sample(t, "28-00000bbb9b13", 24.25)}, Wire{})
	if err == nil || !strings.Contains(err.Error(), "1 of 2 probes gave a temperature") {
		t.Errorf("error is %v, want it to count the probes", err)
	}
}
