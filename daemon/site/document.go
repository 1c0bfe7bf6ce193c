package site

import (
	"github.com/pelletier/go-toml/v2"

	"bainward/rules"
)

// document is the site file as it is written: one struct a table, one field a
// key. Checks turn it into a Site; nothing outside this package sees it.
type document struct {
	Site      siteTable      `toml:"site"`
	Wire      []wireTable    `toml:"wire"`
	Maker     makerTable     `toml:"maker"`
	Barometer barometerTable `toml:"barometer"`
	Broker    brokerTable    `toml:"broker"`
	Phone     phoneTable     `toml:"phone"`
	Channel   []channelTable `toml:"channel"`
	Contact   []contactTable `toml:"contact"`
	Heartbeat heartbeatTable `toml:"heartbeat"`
	Sibling   []siblingTable `toml:"sibling"`
	Cutout    []cutoutTable  `toml:"cutout"`
	Person    []personTable  `toml:"person"`
	Door      doorTable      `toml:"door"`
	Thin      thinTable      `toml:"thin"`
	Bath      []bathTable    `toml:"bath"`
	Place     []placeTable   `toml:"place"`
	Probe     []probeTable   `toml:"probe"`
	Recipe    []recipeTable  `toml:"recipe"`
	Limits    rules.Limits   `toml:"limits"`
}

type siteTable struct {
	Name      string  `toml:"name"`
	Elevation float64 `toml:"elevation_m"`
	Units     string  `toml:"units"`
	Zone      string  `toml:"time_zone"`
	Listen    string  `toml:"listen"`
	Record    string  `toml:"record"`
}

type wireTable struct {
	Kind    string `toml:"kind"`
	Name    string `toml:"name"`
	Root    string `toml:"root"`
	Bus     string `toml:"bus"`
	Address int64  `toml:"address"`
	Channel int64  `toml:"channel"`
}

type barometerTable struct {
	Bus     string `toml:"bus"`
	Address int64  `toml:"address"`
}

type brokerTable struct {
	URL          string `toml:"url"`
	Embedded     string `toml:"embedded"`
	Name         string `toml:"name"`
	PasswordFile string `toml:"password_file"`
	Topic        string `toml:"topic"`
	Orders       string `toml:"orders"`
	OrdersKey    string `toml:"orders_key_file"`
}

type phoneTable struct {
	Address   string `toml:"address"`
	RepeatMin int64  `toml:"repeat_min"`
	Subject   string `toml:"subject"`
}

// channelTable holds the keys of every kind of channel; checks say which of them
// mean something for which kind.
type channelTable struct {
	Name         string   `toml:"name"`
	Kind         string   `toml:"kind"`
	Contact      string   `toml:"contact"`
	URLFile      string   `toml:"url_file"`
	URLEnv       string   `toml:"url_env"`
	KeyFile      string   `toml:"key_file"`
	KeyEnv       string   `toml:"key_env"`
	Host         string   `toml:"host"`
	Port         int64    `toml:"port"`
	TLS          string   `toml:"tls"`
	User         string   `toml:"user"`
	PasswordFile string   `toml:"password_file"`
	PasswordEnv  string   `toml:"password_env"`
	From         string   `toml:"from"`
	To           []string `toml:"to"`
	Picture      bool     `toml:"picture"`
	Pin          string   `toml:"pin"`
	Active       string   `toml:"active"`
	Least        string   `toml:"least"`
	Steady       bool     `toml:"steady"`
}

type contactTable struct {
	Name     string   `toml:"name"`
	Channels []string `toml:"channels"`
	WaitMin  int64    `toml:"wait_min"`
	Least    string   `toml:"least"`
	Quiet    string   `toml:"quiet"`
}

type heartbeatTable struct {
	URLFile string `toml:"url_file"`
	URLEnv  string `toml:"url_env"`
	EveryS  int64  `toml:"every_s"`
}

type siblingTable struct {
	Site string `toml:"site"`
}

type cutoutTable struct {
	Bath   string `toml:"bath"`
	Pin    string `toml:"pin"`
	Mode   string `toml:"mode"`
	Topic  string `toml:"topic"`
	On     string `toml:"on"`
	Off    string `toml:"off"`
	EveryS int64  `toml:"every_s"`
}

type bathTable struct {
	Name                string  `toml:"name"`
	PanInsideDiameter   float64 `toml:"pan_inside_diameter_mm"`
	DishOutsideDiameter float64 `toml:"dish_outside_diameter_mm"`
	DishBaseHeight      float64 `toml:"dish_base_height_mm"`
	WetsBase            float64 `toml:"wets_base_g"`
	PanDepth            float64 `toml:"pan_depth_mm"`
	DishDepth           float64 `toml:"dish_depth_mm"`
	DishKg              float64 `toml:"dish_kg"`
	HobW                float64 `toml:"hob_w"`
	OilProbe            string  `toml:"oil_probe"`
	BathProbe           string  `toml:"bath_probe"`
	RoomProbe           string  `toml:"room_probe"`
	Wire                string  `toml:"wire"`
}

type probeTable struct {
	Address      string         `toml:"address"`
	CalibratedOn toml.LocalDate `toml:"calibrated_on"`
	IceReads     float64        `toml:"ice_reads_c"`
	BoilReads    float64        `toml:"boil_reads_c"`
	BoilTrue     float64        `toml:"boil_true_c"`
	BoilPressure float64        `toml:"boil_pressure_hpa"`
	Uncertainty  float64        `toml:"uncertainty_c"`
}

type recipeTable struct {
	Name              string  `toml:"name"`
	Herb              string  `toml:"herb"`
	Fresh             bool    `toml:"fresh"`
	HerbG             float64 `toml:"herb_g"`
	Oil               string  `toml:"oil"`
	OilML             float64 `toml:"oil_ml"`
	OilG              float64 `toml:"oil_g"`
	OilMeasuredAt     float64 `toml:"oil_measured_at_c"`
	HerbBulkML        float64 `toml:"herb_bulk_ml"`
	SampleFreshG      float64 `toml:"sample_fresh_g"`
	SampleDriedG      float64 `toml:"sample_dried_g"`
	SampleOven        bool    `toml:"sample_oven_dried"`
	Press             string  `toml:"press"`
	HoldMin           int64   `toml:"hold_min"`
	Macerations       int64   `toml:"macerations"`
	FloorBelowBoiling float64 `toml:"floor_below_boiling_c"`
	FloorC            float64 `toml:"floor_c"`
	CeilingC          float64 `toml:"oil_ceiling_c"`
	// Limits only lets the strict reading judge the keys. Their values are laid
	// over the site's limits by recipeLimits, which must know what was written.
	Limits rules.Limits `toml:"limits"`
}
