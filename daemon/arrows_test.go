package main

import (
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// arrows says which rooms may import which. A room is named by its path; a
// trailing /... takes in the rooms below it. Change it only together with the
// picture in DEVELOPERS.md, which gives the reasons.
var arrows = []struct {
	from string
	may  []string
}{
	{"sensors", nil},
	{"sensors/bench", []string{"sensors"}},
	{"sensors/...", []string{"sensors"}},
	{"rules/repeatable", nil},
	{"rules/steam", []string{"rules/repeatable"}},
	{"rules/balance", []string{"rules/steam", "rules/repeatable"}},
	{"rules", []string{"sensors", "rules/steam", "rules/balance", "rules/repeatable"}},
	{"rules/alarm", []string{"rules"}},
	{"rules/...", []string{"sensors", "rules/..."}},
	{"dashboards/...", []string{"sensors", "rules/..."}},
	{"daemon/site", []string{"sensors", "rules/..."}},
	{"daemon/record", []string{"sensors", "rules/..."}},
	{"daemon/record/...", []string{"sensors", "rules/...", "daemon/record"}},
	{"daemon/people", nil},
	{"daemon/witness", nil},
	{"daemon/publish", []string{"sensors", "rules/..."}},
	{"daemon/metrics", []string{"sensors", "rules/..."}},
	{"daemon/phone/notice", []string{"rules/..."}},
	{"daemon/phone/calls", []string{"rules/...", "daemon/phone/notice"}},
	{"daemon/phone/...", []string{"sensors", "rules/...", "daemon/phone/..."}},
	{"daemon/cutout", []string{"sensors", "rules/..."}},
	{"daemon/web", []string{"sensors", "rules/...", "dashboards", "daemon/people"}},
	{"daemon/judge", []string{"sensors", "rules/...", "sensors/bench"}},
	{"daemon/app", []string{"sensors", "rules/...", "dashboards/...", "daemon/..."}},
	{"daemon", []string{"sensors/...", "rules/...", "daemon/..."}},
}

// testArrows are what tests may import beyond their room's arrows.
var testArrows = map[string][]string{
	"rules":               {"sensors/bench", "rules/alarm"},
	"rules/fold":          {"sensors/bench"}, // whole baths are judged
	"rules/batch/cooling": {"sensors/bench"}, // dishes are strained and cool
	"sensors/bridge":      {"sensors/bench/wire"},
	"sensors/w1":          {"sensors/bench/wire"},
}

type room struct {
	ImportPath                         string
	Imports, TestImports, XTestImports []string
}

func rooms(t *testing.T) []room {
	t.Helper()
	out, err := exec.Command("go", "list", "-json=ImportPath,Imports,TestImports,XTestImports", "bainward/...").Output()
	if err != nil {
		t.Fatalf("list the rooms: %v", err)
	}
	var all []room
	for d := json.NewDecoder(strings.NewReader(string(out))); ; {
		var r room
		if err := d.Decode(&r); errors.Is(err, io.EOF) {
			return all
		} else if err != nil {
			t.Fatal(err)
		}
		all = append(all, r)
	}
}

func covers(pattern, path string) bool {
	base, below := strings.CutSuffix(pattern, "/...")
	return path == base || below && strings.HasPrefix(path, base+"/")
}

// The rooms import along the arrows of DEVELOPERS.md and no other way.
func TestRoomsImportAlongTheArrows(t *testing.T) {
	for _, r := range rooms(t) {
		from := strings.TrimPrefix(r.ImportPath, "bainward/")
		i := slices.IndexFunc(arrows, func(a struct {
			from string
			may  []string
		}) bool {
			return covers(a.from, from)
		})
		if i < 0 {
			if len(r.Imports) > 0 {
				t.Errorf("room %s is not in the picture: add it to DEVELOPERS.md and to this test", from)
			}
			continue
		}
		check := func(kind string, imports, may []string) {
			for _, path := range imports {
				to, ours := strings.CutPrefix(path, "bainward/")
				if !ours || to == from {
					continue
				}
				if !slices.ContainsFunc(may, func(p string) bool { return covers(p, to) }) {
					t.Errorf("%s of room %s imports %s: no arrow leads there", kind, from, to)
				}
			}
		}
		check("code", r.Imports, arrows[i].may)
		check("tests", append(r.TestImports, r.XTestImports...), append(testArrows[from], arrows[i].may...))
	}
}
