package main

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"slices"
	"strings"

	"bainward/daemon/app"
	"bainward/daemon/record"
	"bainward/daemon/site"
)

// mustPrint reads the sheet of a batch as another program reads it, drawn from the
// record while the daemon writes to it, and both papers to which the page leads.
func (k *wholeKitchen) mustPrint(number string, leads []string) {
	k.t.Helper()
	r, err := record.OpenReader(k.record)
	if err != nil {
		k.t.Fatal(err)
	}
	defer r.Close()
	s, err := site.Parse("alder.toml", []byte(wholeSite))
	if err != nil {
		k.t.Fatal(err)
	}
	var sheet bytes.Buffer
	if err := app.DrawSheet(k.t.Context(), &sheet, r, s, number, "test", false); err != nil {
		k.t.Fatal(err)
	}
	k.mustBeWritten("the sheet", sheet.Bytes(), number, "S-17", "hedge, 28 Feb", "Robin")
	// The page leads to both papers, and what it leads to says the same.
	base := "/batch/" + number
	if want := []string{base + "/labels.pdf", base + "/sheet.pdf"}; !slices.Equal(slices.Sorted(slices.Values(leads)), want) {
		k.t.Fatalf("the page leads to %q, want %q", leads, want)
	}
	k.mustBeWritten("the sheet of the page", k.get(base+"/sheet.pdf"), number, "S-17", "hedge, 28 Feb", "Robin")
	k.mustBeWritten("the labels", k.get(base+"/labels.pdf"), "Batch "+number, "bottle 1", "bottle 2",
		"Best used before the end of: 31 December 2027", "Made by "+s.Maker.Name)
}

func (k *wholeKitchen) mustBeWritten(what string, pdf []byte, want ...string) {
	k.t.Helper()
	read := exec.Command("pdftotext", "-layout", "-", "-")
	read.Stdin = bytes.NewReader(pdf)
	text, err := read.Output()
	if err != nil {
		if errors.Is(err, exec.ErrNotFound) && os.Getenv("CI") != "true" {
			k.t.Skipf("read the papers: %v", err)
		}
		k.t.Fatalf("read %s: %v", what, err)
	}
	for _, w := range want {
		if !strings.Contains(string(text), w) {
			k.t.Errorf("%s does not say %q:\n%s", what, w, text)
		}
	}
}
