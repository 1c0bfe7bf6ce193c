package app

import (
	"math"
	"testing"
	"time"

	"bainward/daemon/record"
	"bainward/sensors"
)

// Every maceration leaves in the record how the bath probe stood while its water
// boiled hardest, and a restart knows it again. Water boils at 99.974 °C under
// 101325 Pa (IAPWS-IF97, region 4).
func TestTheHardestBoilOfEachMacerationIsRecorded(t *testing.T) {
	k := newKitchen(t)
	k.probes.air = sensors.Pressure{Pascal: 101325}
	k.did("fill 1.85 kg; charge; light")
	k.read(60, 99)
	k.pollFor(10 * time.Minute)
	k.read(88, 100.5)
	k.pollFor(6 * time.Minute)
	k.did("turn-down")
	k.read(88, 98)
	k.pollFor(10 * time.Minute)
	k.did("strain")

	var boils []record.Boil
	for _, e := range k.entries() {
		if e.Kind == record.KindBoil {
			var b record.Boil
			if err := e.Decode(&b); err != nil {
				t.Fatal(err)
			}
			boils = append(boils, b)
		}
	}
	if len(boils) != 1 || math.Abs(boils[0].Off-(100.5-99.974)) > 0.01 || !boils[0].Measured || boils[0].Probe != bathProbe.String() {
		t.Fatalf("the boils in the record are %+v, want one of 0.53 K", boils)
	}
	k.restart(time.Second)
	if again := k.app.Probes().Probes[sensors.Bath].Boils; len(again) != 1 || again[0].Off != boils[0].Off || again[0].At.IsZero() {
		t.Errorf("after a restart the page of the probes has the boils %+v", again)
	}
	checkRefold(t, k.entries())
}

// A bath that never boiled says nothing of its probe.
func TestABathThatNeverBoiledLeavesNoBoil(t *testing.T) {
	k := newKitchen(t)
	k.did("fill 1.85 kg; charge; light")
	k.read(60, 85)
	k.pollFor(10 * time.Minute)
	k.did("strain")
	for _, e := range k.entries() {
		if e.Kind == record.KindBoil {
			t.Errorf("entry %d: %s", e.Seq, e.Body)
		}
	}
}
