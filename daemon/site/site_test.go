package site

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/calibrate"
	"bainward/sensors"
)

// sites is the folder of site files, good and bad.
const sites = "../../testdata/sites"

// designExample is the site file of the project's design page, word for word.
const designExample = `[site]
name = "Alder Yard"
elevation_m = 120
units = "metric"                # or "us"
[[bath]]
name = "north"
pan_inside_diameter_mm = 250
dish_outside_diameter_mm = 205
dish_base_height_mm = 30        # above the pan floor
oil_probe = "28-00000bbb9b13"
bath_probe = "28-000005fba71c"
[[recipe]]
name = "ribwort-fresh"
herb = "Plantago lanceolata, leaf"
fresh = true
herb_g = 220
oil = "sunflower"
oil_ml = 800
hold_min = 120
macerations = 1
# floor_below_boiling_c = 15    # default; or floor_c = 80
# oil_ceiling_c = ...           # default: the boiling point + the probe's uncertainty
`

func mustParse(t *testing.T, text string) *Site {
	t.Helper()
	s, err := Parse("test.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestDesignExampleBecomesTheRulesConfig(t *testing.T) {
	got, err := mustParse(t, designExample).Config("north", "ribwort-fresh")
	if err != nil {
		t.Fatal(err)
	}
	want := rules.Config{
		Bath:  "north",
		Units: rules.Metric,
		Rig:   rules.Rig{PanInsideDiameter: 250, DishOutsideDiameter: 205, DishBaseHeight: 30},
		Recipe: rules.Recipe{
			Name: "ribwort-fresh", Herb: "Plantago lanceolata, leaf", Fresh: true, HerbG: 220,
			Oil: "sunflower", OilML: 800, Hold: 2 * time.Hour, Macerations: 1, FloorBelowBoiling: 15,
		},
		Elevation: 120,
		Limits:    rules.DefaultLimits(),
	}
	want.Probes[sensors.Oil] = rules.Correction{Fitted: true, Address: "28-00000bbb9b13"}
	want.Probes[sensors.Bath] = rules.Correction{Fitted: true, Address: "28-000005fba71c"}
	if got != want {
		t.Errorf("config is\n%+v\nwant\n%+v", got, want)
	}
}

func TestDefaultsStandForWhatIsNotWritten(t *testing.T) {
	s := mustParse(t, designExample)
	if s.Listen != "127.0.0.1:8470" {
		t.Errorf("pages are at %q, want only this machine, 127.0.0.1:8470", s.Listen)
	}
	if len(s.Wires) != 1 || s.Wires[0] != (Wire{Kind: KernelWire}) {
		t.Errorf("wires are %+v, want the kernel's", s.Wires)
	}
	if s.Barometer != nil || s.Broker != nil {
		t.Errorf("barometer %v and broker %v appeared from nowhere", s.Barometer, s.Broker)
	}
}

func TestRecordFolderFollowsTheFileThenSystemd(t *testing.T) {
	for _, c := range []struct{ written, stateDirectory, want string }{
		{"", "", "bainward-record"},
		{"", "/var/lib/bainward", "/var/lib/bainward/record"},
		{"", "/var/lib/bainward:/var/lib/other", "/var/lib/bainward/record"},
		{"/data/oil", "/var/lib/bainward", "/data/oil"},
	} {
		s := Site{Record: c.written}
		if got := s.RecordFolder(c.stateDirectory); got != c.want {
			t.Errorf("record %q with state directory %q goes to %q, want %q", c.written, c.stateDirectory, got, c.want)
		}
	}
}

func TestExampleFileWithEveryKeyParses(t *testing.T) {
	s, err := Load(filepath.Join(sites, "alder-yard.toml"))
	if err != nil {
		t.Fatal(err)
	}
	if want := (Wire{Kind: BridgeWire, Name: "window", Bus: "1", Address: 0x18}); s.Wires[1] != want {
		t.Errorf("second wire is %+v, want %+v", s.Wires[1], want)
	}
	if want := (Barometer{Bus: "1", Address: 0x76}); *s.Barometer != want {
		t.Errorf("barometer is %+v, want %+v", *s.Barometer, want)
	}
	if want := (Broker{URL: "mqtt://127.0.0.1:1883", Name: "alder", PasswordFile: "/etc/bainward/broker-password", Topic: "bainward", Orders: SignedOrders, OrdersKey: SecretRef{File: "/etc/bainward/orders.key"}}); *s.Broker != want {
		t.Errorf("broker is %+v, want %+v", *s.Broker, want)
	}
	if got := len(s.Probes()); got != 6 {
		t.Errorf("%d probes are named, want 6", got)
	}
}

func TestRecipeIsTheFirstUnlessNamed(t *testing.T) {
	s, err := Load(filepath.Join(sites, "alder-yard.toml"))
	if err != nil {
		t.Fatal(err)
	}
	for asked, want := range map[string]string{
		"": "ribwort-fresh", "marigold-dried": "marigold-dried", "plain": "plain",
	} {
		cfg, err := s.Config("south", asked)
		if err != nil {
			t.Fatal(err)
		}
		if cfg.Recipe.Name != want {
			t.Errorf("recipe %q gives %q, want %q", asked, cfg.Recipe.Name, want)
		}
	}
}

func TestSiteWithoutRecipesMakesThePlainOne(t *testing.T) {
	text, _, _ := strings.Cut(designExample, "[[recipe]]")
	cfg, err := mustParse(t, text).Config("north", "")
	if err != nil {
		t.Fatal(err)
	}
	if want := (rules.Recipe{}).Complete(); cfg.Recipe != want {
		t.Errorf("recipe is %+v, want %+v", cfg.Recipe, want)
	}
}

func TestUnknownNamesAreAnsweredWithTheKnownOnes(t *testing.T) {
	s, err := Load(filepath.Join(sites, "alder-yard.toml"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Config("east", ""); err == nil || !strings.Contains(err.Error(), "north, south") {
		t.Errorf("unknown bath: %v, want the names north, south", err)
	}
	if _, err := s.Config("north", "comfrey"); err == nil || !strings.Contains(err.Error(), "ribwort-fresh, marigold-dried, plain") {
		t.Errorf("unknown recipe: %v, want the names that exist", err)
	}
}

// The numbers are the worked example of a probe that read 0.31 °C in ice and
// 99.19 °C where water boiled at 98.31 °C (500 m in the standard atmosphere,
// ISO 2533, with IAPWS-IF97); the line through two points is plain algebra.
func TestTwoPointCalibrationOfTheWorkedExample(t *testing.T) {
	gain, offset := calibrate.Through(0.31, 0, 99.19, 98.31)
	c := rules.Correction{Gain: gain, Offset: offset}
	near(t, "gain", gain, 0.994235, 1e-6)
	near(t, "offset", offset, -0.3082, 1e-4)
	near(t, "60.00 °C read", c.Celsius(60), 59.346, 5e-4)
	near(t, "ice", c.Celsius(0.31), 0, 1e-12)
	near(t, "boiling", c.Celsius(99.19), 98.31, 1e-12)
}

const calibrated = designExample + `
[[probe]]
address = "28-00000bbb9b13"
calibrated_on = 2026-02-14
ice_reads_c = 0.31
boil_reads_c = 99.19
uncertainty_c = 0.2
`

func TestCalibrationReachesTheConfig(t *testing.T) {
	cfg, err := mustParse(t, calibrated+"boil_true_c = 98.31\n").Config("north", "")
	if err != nil {
		t.Fatal(err)
	}
	oil := cfg.Probes[sensors.Oil]
	near(t, "gain", oil.Gain, 0.994235, 1e-6)
	if oil.On != "2026-02-14" || oil.Uncertainty != 0.2 || !oil.Fitted || oil.Address != "28-00000bbb9b13" {
		t.Errorf("correction is %+v, want date, uncertainty and address of the file", oil)
	}
	if bath := cfg.Probes[sensors.Bath]; bath.On != "" || bath.Gain != 0 {
		t.Errorf("the bath's probe was not calibrated, but has %+v", bath)
	}
}

// 954.608 hPa is the pressure at 500 m in the standard atmosphere (ISO 2533),
// under which water boils at 98.312 °C (IAPWS-IF97, equation 31).
func TestBoilingPointOfTheDayFollowsFromThePressure(t *testing.T) {
	byPressure := mustParse(t, calibrated+"boil_pressure_hpa = 954.608\n").Calibrations[0]
	byPoint := mustParse(t, calibrated+"boil_true_c = 98.312\n").Calibrations[0]
	near(t, "gain", byPressure.Gain, byPoint.Gain, 2e-5)
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %g, want %g ± %g", what, got, want, tolerance)
	}
}

func TestBadFilesSayWhatIsWrongAndWhere(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(sites, "bad-*.toml"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no bad-*.toml in %s (%v)", sites, err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			want, err := os.ReadFile(strings.TrimSuffix(file, ".toml") + ".txt")
			if err != nil {
				t.Fatal(err)
			}
			_, err = Parse(filepath.Base(file), text)
			if err == nil {
				t.Fatal("a bad file passed")
			}
			var all Errors
			if !errors.As(err, &all) {
				t.Errorf("error is a %T, want Errors", err)
			}
			if got := err.Error() + "\n"; got != string(want) {
				t.Errorf("errors are\n%swant\n%s", got, want)
			}
		})
	}
}

func TestExplanationNamesWhatIsWatched(t *testing.T) {
	s, err := Load(filepath.Join(sites, "alder-yard.toml"))
	if err != nil {
		t.Fatal(err)
	}
	want, err := os.ReadFile(filepath.Join(sites, "alder-yard.txt"))
	if err != nil {
		t.Fatal(err)
	}
	if got := s.Explain(); got != string(want) {
		t.Errorf("explanation is\n%s\nwant\n%s", got, want)
	}
}
