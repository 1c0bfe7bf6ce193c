package judge

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"bainward/rules"
	"bainward/rules/trace"
)

// truthSuffix ends the name of the file that says what was true. It stands
// beside the trace of the same name, for a trace knows no column of truths.
const truthSuffix = ".truth.csv"

// ReadFolder reads every trace NAME.csv of a folder with its NAME.truth.csv,
// which has the columns
//
//	time           RFC 3339, like the trace's; need not be the same instants
//	water_kg       liquid water in the pan
//	bare           1 while the base of the dish is out of the water, else 0
//	dry            1 while no liquid water is in the pan, else 0
//	herb_water_kg  water still in the herb
//
// in any order; time is needed, and an empty cell or a missing column means
// that nobody knows. All of them are baths of one rig, that of cfg. Nobody can
// tell how the bath probe was placed, so boiling-dry has the time of a hanging
// one.
func ReadFolder(dir string, cfg rules.Config) ([]*Course, error) {
	paths, err := filepath.Glob(filepath.Join(dir, "*.csv"))
	if err != nil {
		return nil, fmt.Errorf("read folder %s: %w", dir, err)
	}
	var courses []*Course
	for _, path := range paths {
		if strings.HasSuffix(path, truthSuffix) {
			continue
		}
		c, err := readCourse(path, cfg)
		if err != nil {
			return nil, err
		}
		courses = append(courses, c)
	}
	if len(courses) == 0 {
		return nil, fmt.Errorf("read folder %s: no trace NAME.csv in it", dir)
	}
	return courses, nil
}

func readCourse(path string, cfg rules.Config) (*Course, error) {
	name := strings.TrimSuffix(path, ".csv")
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("read trace: %w", err)
	}
	defer f.Close()
	rows, err := trace.Read(f)
	if err != nil {
		return nil, fmt.Errorf("read trace %s: %w", path, err)
	}
	if len(rows) == 0 {
		return nil, fmt.Errorf("read trace %s: it has no rows", path)
	}
	t, err := os.Open(name + truthSuffix)
	if err != nil {
		return nil, fmt.Errorf("read the truth of %s: %w", path, err)
	}
	defer t.Close()
	truth, err := readTruth(t, rows[0].Wall)
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", name+truthSuffix, err)
	}
	return &Course{
		Name: filepath.Base(name), Config: cfg, Rows: rows, Truth: truth, BareKg: math.NaN(), Hanging: true,
	}, nil
}

var truthColumns = []string{"time", "water_kg", "bare", "dry", "herb_water_kg"}

// readTruth reads a truth file; start is the wall time of the trace's first row.
func readTruth(r io.Reader, start time.Time) ([]Truth, error) {
	lines := csv.NewReader(r)
	header, err := lines.Read()
	if err != nil {
		return nil, fmt.Errorf("header: %w", err)
	}
	for i, name := range header {
		switch {
		case !slices.Contains(truthColumns, name):
			return nil, fmt.Errorf("column %q: want some of %s", name, strings.Join(truthColumns, " "))
		case slices.Index(header, name) != i:
			return nil, fmt.Errorf("column %q stands there twice", name)
		}
	}
	if !slices.Contains(header, "time") {
		return nil, errors.New("no column time")
	}
	var truths []Truth
	for {
		cells, err := lines.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		line, _ := lines.FieldPos(0)
		t, err := parseTruth(header, cells, start)
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", line, err)
		}
		if n := len(truths); n > 0 && t.At < truths[n-1].At {
			return nil, fmt.Errorf("line %d: time goes back", line)
		}
		truths = append(truths, t)
	}
	if len(truths) == 0 {
		return nil, errors.New("it has no rows")
	}
	return truths, nil
}

func parseTruth(header, cells []string, start time.Time) (Truth, error) {
	t := Truth{WaterKg: math.NaN(), HerbWaterKg: math.NaN()}
	for i, name := range header {
		cell := cells[i]
		if cell == "" && name != "time" {
			continue
		}
		var err error
		switch name {
		case "time":
			var wall time.Time
			wall, err = time.Parse(time.RFC3339, cell)
			t.At = wall.Sub(start)
		case "water_kg":
			t.WaterKg, err = strconv.ParseFloat(cell, 64)
		case "herb_water_kg":
			t.HerbWaterKg, err = strconv.ParseFloat(cell, 64)
		case "bare":
			t.Bare, err = strconv.ParseBool(cell)
		case "dry":
			t.Dry, err = strconv.ParseBool(cell)
		}
		if err != nil {
			return Truth{}, fmt.Errorf("column %s: %w", name, err)
		}
	}
	return t, nil
}

// WriteTruth writes the truth of a course as ReadFolder reads it.
func WriteTruth(w io.Writer, c *Course) error {
	out := csv.NewWriter(w)
	if err := out.Write(truthColumns); err != nil {
		return fmt.Errorf("write truth: %w", err)
	}
	number := func(x float64) string {
		if math.IsNaN(x) {
			return ""
		}
		return strconv.FormatFloat(x, 'f', 4, 64)
	}
	flag := map[bool]string{false: "0", true: "1"}
	for _, t := range c.Truth {
		wall := c.Rows[0].Wall.Add(t.At).Format(time.RFC3339)
		if err := out.Write([]string{wall, number(t.WaterKg), flag[t.Bare], flag[t.Dry], number(t.HerbWaterKg)}); err != nil {
			return fmt.Errorf("write truth: %w", err)
		}
	}
	out.Flush()
	if err := out.Error(); err != nil {
		return fmt.Errorf("write truth: %w", err)
	}
	return nil
}
