package verify

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"bainward/daemon/record"
)

// The verifier knows every kind of entry that package record names in its source.
func TestEveryKindOfEntryIsKnown(t *testing.T) {
	known, named := newBodies(), 0
	for _, name := range must(filepath.Glob("../*.go")) {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		ast.Inspect(must(parser.ParseFile(token.NewFileSet(), name, nil, 0)), func(n ast.Node) bool {
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
