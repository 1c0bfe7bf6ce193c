package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
	"time"

	"bainward/daemon/site"
	"bainward/rules"
	"bainward/sensors"
)

// writeTable prints one line a probe for people.
func writeTable(out io.Writer, s *site.Site, samples []sensors.Sample, at time.Time) error {
	t := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintf(t, "address\treading\tfault\tresolution\tpower\tmake\tused as\t%s\n", at.Format("15:04:05"))
	for _, sample := range samples {
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\t%s\n",
			sample.Address, readingWords(s.Units, sample.Reading), sample.Reading.Fault,
			resolutionWords(sample), powerWords(sample), makeWords(sample), useWords(s, sample.Address))
	}
	return t.Flush()
}

// decoded reports whether the scratchpad came over the wire whole, so that
// what it says beside the temperature can be believed.
func decoded(s sensors.Sample) bool {
	switch s.Reading.Fault {
	case sensors.NoFault, sensors.PowerOn, sensors.ConversionFailed:
		return true
	}
	return false
}

const none = "-"

// readingWords writes a temperature to the hundredth: a probe steps by 0.0625.
func readingWords(u rules.Units, r sensors.Reading) string {
	switch {
	case !r.OK():
		return none
	case u == rules.US:
		return fmt.Sprintf("%.2f °F", float64(r.Celsius()*1.8)+32)
	}
	return fmt.Sprintf("%.2f °C", r.Celsius())
}

func resolutionWords(s sensors.Sample) string {
	if !decoded(s) {
		return none
	}
	return fmt.Sprintf("%d bit", sensors.Resolution(s.Scratchpad))
}

func powerWords(s sensors.Sample) string {
	switch {
	case !s.PowerKnown:
		return none
	case s.Parasite:
		return "parasite"
	}
	return "own supply"
}

func makeWords(s sensors.Sample) string {
	if !decoded(s) {
		return none
	}
	return sensors.Judge(s.Address, s.Scratchpad).String()
}

// useWords says in which baths the probe is what, or which place it is of.
func useWords(s *site.Site, a sensors.Address) string {
	var uses []string
	for _, p := range s.Probes() {
		if p.Address == a {
			uses = append(uses, p.Use())
		}
	}
	if len(uses) == 0 {
		return none
	}
	return strings.Join(uses, ", ")
}

// probeLine is one probe for programs. What is not known is left out.
type probeLine struct {
	At         time.Time `json:"at"`
	Address    string    `json:"address"`
	Celsius    *float64  `json:"celsius,omitempty"`
	Fault      string    `json:"fault,omitempty"` // see sensors.Fault.Code
	Resolution int       `json:"resolution_bits,omitempty"`
	Parasite   *bool     `json:"parasite,omitempty"`
	Make       string    `json:"make,omitempty"`
	Uses       []use     `json:"uses,omitempty"`
}

// use is the role in a bath, or a place where bottles stand.
type use struct {
	Bath  string `json:"bath,omitempty"`
	Role  string `json:"role,omitempty"`
	Place string `json:"place,omitempty"`
}

// writeLines prints one JSON object a probe.
func writeLines(out io.Writer, s *site.Site, samples []sensors.Sample, at time.Time) error {
	lines := json.NewEncoder(out)
	for _, sample := range samples {
		if err := lines.Encode(lineOf(s, sample, at)); err != nil {
			return fmt.Errorf("write probe %s: %w", sample.Address, err)
		}
	}
	return nil
}

func lineOf(s *site.Site, sample sensors.Sample, at time.Time) probeLine {
	line := probeLine{
		At:      at.UTC().Truncate(time.Second),
		Address: sample.Address.String(),
		Fault:   sample.Reading.Fault.Code(),
	}
	if sample.Reading.OK() {
		celsius := sample.Reading.Celsius()
		line.Celsius = &celsius
	}
	if sample.PowerKnown {
		line.Parasite = &sample.Parasite
	}
	if decoded(sample) {
		line.Resolution = sensors.Resolution(sample.Scratchpad)
		line.Make = sensors.Judge(sample.Address, sample.Scratchpad).String()
	}
	for _, p := range s.Probes() {
		if p.Address == sample.Address {
			line.Uses = append(line.Uses, useLine(p))
		}
	}
	return line
}

func useLine(p site.Probe) use {
	if p.Place != "" {
		return use{Place: string(p.Place)}
	}
	return use{Bath: p.Bath, Role: p.Role.String()}
}
