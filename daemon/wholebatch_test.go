package main

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"bainward/rules/batch/ledger"
)

// A double maceration, from the choice of the recipe to two labelled bottles, is
// made by a person with a phone: on one page, by its own words, on a simulated bath.
func TestAWholeBatchFromAPhone(t *testing.T) {
	k := startWholeKitchen(t)
	p := openPhone(t, k)

	p.at("plan")
	p.goOn()
	p.at("checklist")
	p.tickAll("materials") // one is forgotten
	p.say("[data-guide-who] input", "Robin")
	p.send()
	p.at("fill")
	p.change("quantity", "1800")
	p.send()
	p.at("herb-1")
	p.change("lot", "hedge, 28 Feb")
	p.send()
	p.at("oil")
	p.change("lot", "S-17")
	p.setDay("best_before", "2027-12-31")
	p.send()
	p.at("charge")
	p.send()
	p.at("light")
	p.mustRead("Not ticked before lighting: Herb and oil are at hand")
	p.send()
	p.macerate(1)
	p.at("marc-1")
	p.change("quantity", "160")
	p.send()
	p.at("herb-2")
	p.mustOffer("lot", "hedge, 28 Feb")
	p.send()
	p.at("recharge-2")
	p.send()
	p.macerate(2)
	p.at("marc-2")
	p.goOn() // not weighed
	p.at("settle")
	p.change("quantity", "14")
	p.send()
	p.at("oil-out")
	p.change("quantity", "520")
	p.send()
	p.at("cool")
	k.wait()
	p.readsInTime("By the way it cools that is in about ")
	p.shot("cool-foretold")
	p.at("bottle")
	k.look()
	p.mustRead("it is good until 31 December 2027: the base oil's own date")
	p.change("count", "2")
	p.change("each", "250")
	p.choose("water", "none")
	p.send()
	p.at("close")
	p.send()
	p.at("label")
	p.mustBeClean()
	number := k.mustHaveRecorded()
	k.mustPrint(number, ask[[]string](p, `[...document.querySelectorAll(".guide-now a[href$='.pdf']")].map((a) => a.getAttribute("href"))`))
}

// macerate warms, holds, tops up and strains maceration pass.
func (p *phone) macerate(pass int) {
	p.t.Helper()
	step := func(name string) string { return fmt.Sprintf("%s-%d", name, pass) }
	if pass == 1 { // later the oil is hot already
		p.at(step("warm"))
		p.kitchen.wait()
		p.readsInTime("The water boils: turn down")
		p.kitchen.look()
		p.send()
		p.kitchen.wait()
	}
	p.at(step("hold"))
	p.kitchen.look()
	p.change("quantity", "300")
	p.send()
	p.kitchen.wait()
	p.at(step("strain"))
	p.kitchen.look()
	p.send()
	// Nobody leaves the pan to boil dry, though the bath knows no "heat off".
	if err := p.kitchen.live.Do("top-up 1 kg"); err != nil {
		p.t.Fatal(err)
	}
}

// mustHaveRecorded looks at what the record holds of the batch, and returns its
// number.
func (k *wholeKitchen) mustHaveRecorded() string {
	k.t.Helper()
	var list struct {
		Batches []ledger.Line `json:"batches"`
	}
	if err := json.Unmarshal(k.get("/api/batches"), &list); err != nil || len(list.Batches) != 1 {
		k.t.Fatalf("batches %+v, %v", list, err)
	}
	number := list.Batches[0].Batch
	var s ledger.Sheet
	if err := json.Unmarshal(k.get("/api/batch/"+number), &s); err != nil {
		k.t.Fatal(err)
	}
	var materials, weighed, verdicts []string
	for _, m := range s.Materials {
		materials = append(materials, fmt.Sprintf("%s of %s, lot %s, maceration %d, by %s", m.Fact.Quantity, m.Fact.What, m.Fact.Lot, m.Fact.Pass, m.Who))
	}
	for _, w := range s.Weighings {
		weighed = append(weighed, fmt.Sprintf("%s %s, maceration %d", w.Fact.What, w.Fact.Quantity, w.Fact.Pass))
	}
	for _, c := range s.Course.Passes {
		verdicts = append(verdicts, fmt.Sprintf("%d %s", c.Pass, c.Verdict))
	}
	k.mustBe("materials", materials, []string{
		"220 g of herb, lot hedge, 28 Feb, maceration 1, by Robin", "731 g of oil, lot S-17, maceration 1, by Robin", "220 g of herb, lot hedge, 28 Feb, maceration 2, by Robin",
	})
	k.mustBe("weighings", weighed, []string{"marc 160 g, maceration 1", "water 14 g, maceration 2", "oil-out 520 g, maceration 2"})
	k.mustBe("macerations", verdicts, []string{"1 held", "2 held"})
	if len(s.Bottles) != 2 || s.Bottles[1].FilledMl != 250 || s.Bottles[1].UseBy.String() != "2027-12-31" {
		k.t.Errorf("bottles %+v", s.Bottles)
	}
	if s.Strength.Lacks != "" || s.Course.Verdict != "held" {
		k.t.Errorf("strength lacks %q, the verdict is %s", s.Strength.Lacks, s.Course.Verdict)
	}
	return number
}

func (k *wholeKitchen) mustBe(what string, got, want []string) {
	k.t.Helper()
	if !slices.Equal(got, want) {
		k.t.Errorf("%s are\n  %s\nwant\n  %s", what, strings.Join(got, "\n  "), strings.Join(want, "\n  "))
	}
}
