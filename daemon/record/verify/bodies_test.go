package verify

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"strconv"
	"strings"
	"testing"

	"bainward/daemon/record"
)

// The verifier knows every kind of entry that package record names in its source.
func TestEveryKindOfEntryIsKnown(t *testing.T) {
	notTests := func(f fs.FileInfo) bool { return !strings.HasSuffix(f.Name(), "_test.go") }
	packages, err := parser.ParseDir(token.NewFileSet(), "..", notTests, 0)
	if err != nil {
		t.Fatal(err)
	}
	known, named := newBodies(), 0
	for _, file := range packages["record"].Files {
		ast.Inspect(file, func(n ast.Node) bool {
			spec, ok := n.(*ast.ValueSpec)
			if !ok || len(spec.Values) != 1 {
				return true
			}
			if kind, ok := spec.Type.(*ast.Ident); !ok || kind.Name != "Kind" {
				return true
			}
			word, err := strconv.Unquote(spec.Values[0].(*ast.BasicLit).Value)
			if err != nil {
				t.Fatal(err)
			}
			named++
			if _, ok := known[record.Kind(word)]; !ok && record.Kind(word) != record.KindReading {
				t.Errorf("kind %q has no body in bodies.go", word)
			}
			return true
		})
	}
	if named < 20 {
		t.Errorf("found %d kinds in the source of package record: look at how this test finds them", named)
	}
}
