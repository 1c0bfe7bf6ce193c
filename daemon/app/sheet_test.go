package app

import (
	"bytes"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bainward/daemon/record"
	"bainward/dashboards/paper"
	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/batch/ledger"
)

// sheet reads and draws the sheet of a batch from a record.
func sheetOf(t testing.TB, k *kitchen, r *record.Reader, number string) (paper.BatchSheet, []byte) {
	t.Helper()
	s, err := ReadSheet(t.Context(), r, k.site, number)
	if err != nil {
		t.Fatal(err)
	}
	var pdf bytes.Buffer
	if err := paper.Sheet(&pdf, s); err != nil {
		t.Fatal(err)
	}
	return s, pdf.Bytes()
}

// wholeBatch makes a batch of two macerations with all that a sheet asks for,
// closed and bottled.
func (k *kitchen) wholeBatch() string {
	k.t.Helper()
	k.probes.air.Fault, k.probes.air.Pascal = 0, 100_900
	k.hold()
	number := k.batch()
	k.entered(
		ledger.Material{Batch: number, What: ledger.Herb, Name: "Plantago lanceolata, leaf", Lot: "hedge 1/3", Quantity: much(k.t, "220 g"), State: ledger.Fresh},
		ledger.Material{Batch: number, What: ledger.Oil, Name: "sunflower", Lot: "S-17", BestBefore: until(k.t, "2027-05-31"), Quantity: much(k.t, "800 ml"), AtC: 20},
	)
	k.pollFor(30 * time.Minute)
	if err := k.app.Alarm(k.t.Context(), "north", alarm.Command{Alarm: rules.TopUpDue, Action: alarm.Acknowledge}, "Sorrel"); err != nil {
		k.t.Fatal(err)
	}
	k.did("strain")
	k.entered(ledger.Weighing{Batch: number, What: ledger.Marc, Quantity: much(k.t, "150 g")})
	k.pollFor(5 * time.Minute)
	k.did("recharge 200 g")
	k.entered(ledger.Material{Batch: number, What: ledger.Herb, Name: "Plantago lanceolata, leaf", Lot: "hedge 2/3", Quantity: much(k.t, "200 g"), State: ledger.Fresh})
	k.read(60, 80)
	k.pollFor(2 * time.Minute)
	k.read(90, 99)
	k.pollFor(31 * time.Minute)
	k.did("strain")
	k.read(24, 30)
	k.pollFor(40 * time.Minute)
	k.did("bottle 600 ml; note poured twice")
	k.entered(
		ledger.Weighing{Batch: number, What: ledger.Marc, Quantity: much(k.t, "140 g"), Pass: 2},
		ledger.Weighing{Batch: number, What: ledger.OilOut, Quantity: much(k.t, "600 g"), Pass: 2},
		ledger.Bottles{Batch: number, Count: 2, Each: much(k.t, "250 ml"), AtC: 21, Place: ledger.Cool, Label: true, Water: ledger.NoWater},
		ledger.Bottles{Batch: number, Count: 1, Each: much(k.t, "100 ml"), AtC: 21, Place: ledger.Fridge, Water: ledger.NoWater},
		ledger.Deviation{Batch: number, Text: "the lid was forgotten", Explanation: "nothing fell in"},
	)
	k.read(20, 20)
	k.pollFor(70 * time.Minute)
	if k.batch() != "" {
		k.t.Fatalf("batch %s is still open", k.batch())
	}
	return number
}

// A sheet holds what ISO 22716:2007, 7.2, asks for: the lots and quantities of all
// materials, equipment, temperatures, times, controls, who did what.
func TestASheetHoldsAllThatTheRecordKnows(t *testing.T) {
	k := newDoubleKitchen(t)
	number := k.wholeBatch()
	s, pdf := sheetOf(t, k, k.app.record.Reader, number)
	if s.Number != number || s.Site != "Alder Yard" || s.Bath != "north" || s.Verdict != "held" || s.OilMaxC != 92 || s.Recipe.Name != "ribwort" {
		t.Errorf("the head is %+v", s)
	}
	if len(s.Materials) != 3 || s.Materials[1].Lot != "S-17" || math.Abs(s.Materials[1].Litres-0.8) > 1e-9 || s.Materials[2].Name != "Plantago lanceolata, leaf, fresh, maceration 2" {
		t.Errorf("materials %+v", s.Materials)
	}
	if len(s.Macerations) != 2 || s.Macerations[0].Verdict != "held" || s.Macerations[1].OilMaxC != 90 || !strings.HasPrefix(s.Macerations[1].Herb, "200 g fresh") {
		t.Errorf("macerations %+v", s.Macerations)
	}
	if len(s.Probes) != 2 || s.Probes[0].Role != "oil" || s.Probes[0].Address != "28-00000bbb9b13" {
		t.Errorf("probes %+v", s.Probes)
	}
	if want := "air pressure 1009 hPa by barometer: water boiled at 99.9 °C"; len(s.Equipment) != 1 || s.Equipment[0] != want {
		t.Errorf("equipment %q, want %q", s.Equipment, want) // 99.88 °C at 1009 hPa: IAPWS-IF97, as checks of rules/steam
	}
	for _, c := range s.Controls {
		if !c.Met {
			t.Errorf("%s: asked %s, found %s, not met", c.What, c.Limit, c.Found)
		}
	}
	if len(s.Controls) != 6 {
		t.Errorf("controls %+v", s.Controls)
	}
	if len(s.Bottles) != 2 || s.Bottles[0].Count != 2 || s.Bottles[0].Place != "cool and dark" || s.Bottles[1].Litres != 0.1 || !s.Bottles[0].UseBy.Equal(until(t, "2027-05-31").Time()) {
		t.Errorf("bottles %+v", s.Bottles)
	}
	if len(s.Deviations) != 1 || s.Deviations[0].Explanation != "nothing fell in" || s.Deviations[0].By != "Robin" {
		t.Errorf("deviations %+v", s.Deviations)
	}
	in := s.Times
	for _, x := range []struct {
		what string
		at   time.Time
	}{{"fill", in.Fill}, {"lit", in.Lit}, {"floor", in.Floor}, {"held", in.Held}, {"strain", in.Strain}, {"bottle", in.Bottle}} {
		if x.at.IsZero() {
			t.Errorf("no time of %s", x.what)
		}
	}
	if !(in.Lit.Before(in.Floor) && in.Floor.Before(in.Held) && in.Held.Before(in.Strain) && in.Strain.Before(in.Bottle)) {
		t.Errorf("the times are %+v", in)
	}
	if s.MadeBy.Name != "maker" || !s.MadeBy.At.IsZero() {
		t.Errorf("under it stands %+v: an entry is no signature", s.MadeBy)
	}
	if n := len(s.Trace.Points); n < 300 || len(s.Trace.Holds) != 2 || s.Trace.Points[100].FloorC == 0 || s.Trace.Points[100].BoilingC == 0 {
		t.Errorf("the trace has %d points and the holds %v", n, s.Trace.Holds)
	}
	if !bytes.HasPrefix(pdf, []byte("%PDF-")) {
		t.Error("what was drawn is no PDF")
	}
}

// Parts that nobody weighed are unknown on the sheet, not left out: else the
// balance would seem to close.
func TestWhatNobodyWeighedIsNotKnown(t *testing.T) {
	k := newKitchen(t)
	number := k.inBottles("A")
	s, _ := sheetOf(t, k, k.app.record.Reader, number)
	unknown := 0
	for _, b := range s.Balance {
		if math.IsNaN(b.Kg) {
			unknown++
		}
	}
	if unknown != 1 {
		t.Errorf("the balance is %+v, want the marc unknown and nothing else", s.Balance)
	}
	if len(s.Checks) != 4 || s.Checks[0].Done {
		t.Errorf("without a checklist the checks are %+v", s.Checks)
	}
}

// The same record gives the same bytes: again, from a copy of its folder, in
// another place and later, and after entries that do not concern the batch.
func TestASheetIsDrawnFromTheRecordAlone(t *testing.T) {
	k := newDoubleKitchen(t)
	number := k.wholeBatch()
	first, pdf := sheetOf(t, k, k.app.record.Reader, number)
	again, pdfAgain := sheetOf(t, k, k.app.record.Reader, number)
	if !bytes.Equal(pdf, pdfAgain) || !again.AsOf.Equal(first.AsOf) {
		t.Error("drawn again it differs")
	}
	k.pollFor(10 * time.Minute)
	k.did("fill 1.8 kg; light")
	k.pollFor(time.Minute)
	k.entered(
		ledger.Given{Batch: number, Bottle: 1, Quantity: much(t, "60 ml"), To: "book 1"},
		ledger.Smelled{Batch: number, Numbers: []int{2}, Smell: ledger.Fine},
		ledger.Deviation{Batch: k.batch(), Text: "of the next batch"},
	)
	later, pdfLater := sheetOf(t, k, k.app.record.Reader, number)
	if !bytes.Equal(pdf, pdfLater) {
		t.Errorf("after entries that do not concern it, it is dated %s, was %s", later.AsOf, first.AsOf)
	}
	copied := copyRecord(t, k.dir)
	r, err := record.OpenReader(copied)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if _, pdfCopy := sheetOf(t, k, r, number); !bytes.Equal(pdf, pdfCopy) {
		t.Error("drawn from a copy of the record it differs")
	}
	k.entered(ledger.Moved{Batch: number, Numbers: []int{1}, Place: ledger.Room})
	if moved, pdfMoved := sheetOf(t, k, k.app.record.Reader, number); bytes.Equal(pdf, pdfMoved) || !moved.AsOf.After(first.AsOf) {
		t.Error("a bottle was moved and the sheet stayed the same: this test cannot fail")
	}
}

// copyRecord copies the files of a record elsewhere.
func copyRecord(t testing.TB, dir string) string {
	t.Helper()
	to := t.TempDir()
	files, err := filepath.Glob(filepath.Join(dir, "record.db*"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no record in %s: %v", dir, err)
	}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(to, filepath.Base(f)), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return to
}

// A batch in hand has a sheet too: open, with what is known so far.
func TestABatchInHandHasASheet(t *testing.T) {
	k := newKitchen(t)
	k.hold()
	s, _ := sheetOf(t, k, k.app.record.Reader, k.batch())
	if s.Verdict != "open" || len(s.Macerations) != 1 || !s.Times.Held.IsZero() || s.MadeBy.Name != "" {
		t.Errorf("the sheet is %+v", s)
	}
}

// A batch that is not there is told with the nearest one.
func TestASheetOfNoBatch(t *testing.T) {
	k := newKitchen(t)
	number := k.inBottles("A")
	_, err := ReadSheet(t.Context(), k.app.record.Reader, nil, strings.Replace(number, "-1", "-7", 1))
	var unknown *ledger.UnknownError
	if !errors.As(err, &unknown) || !strings.Contains(err.Error(), number) {
		t.Errorf("got %v, want the nearest number", err)
	}
}

// What was seen to before the start stands on the sheet in the words that were
// read then, also what was not seen to.
func TestTheChecklistStandsOnTheSheet(t *testing.T) {
	k := newKitchen(t)
	k.ticked("lid")
	k.hold()
	s, _ := sheetOf(t, k, k.app.record.Reader, k.batch())
	done := 0
	for _, c := range s.Checks {
		if strings.Contains(c.What, "lid") && c.Done && c.By == "Robin" && !c.At.IsZero() {
			done++
		}
		if c.What == "" {
			t.Errorf("a check without words: %+v", c)
		}
	}
	if done != 1 || len(s.Checks) < 5 {
		t.Errorf("the checks are %+v", s.Checks)
	}
}
