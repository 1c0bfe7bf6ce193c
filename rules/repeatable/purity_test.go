package repeatable_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"path"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// exactMath are the functions of package math whose result is exact or rounded
// once as IEEE 754 asks, so that every machine gives the same bits. FMA would
// qualify, but a reader could not tell it from an accident.
var exactMath = []string{
	"Abs", "Ceil", "Copysign", "Float32bits", "Float32frombits", "Float64bits",
	"Float64frombits", "Floor", "Frexp", "Inf", "IsInf", "IsNaN", "Ldexp", "Max",
	"Min", "Modf", "NaN", "Nextafter", "Round", "RoundToEven", "Signbit", "Sqrt",
	"Trunc",
}

// timeWords are the words of package time that only make or name values. The
// clock, timers and the machine's time zone are not among them.
var timeWords = []string{
	"Duration", "Time", "Month", "Weekday", "Date", "UTC", "RFC3339", "RFC3339Nano",
	"DateOnly", "Nanosecond", "Microsecond", "Millisecond", "Second", "Minute", "Hour",
	"January", "February", "March", "April", "May", "June", "July", "August",
	"September", "October", "November", "December", "Sunday", "Monday", "Tuesday",
	"Wednesday", "Thursday", "Friday", "Saturday",
}

// banned are the packages whose results depend on the machine, the moment or
// chance; a package below one of them is banned too.
var banned = []string{"os", "net", "math/rand", "crypto/rand", "syscall", "unsafe", "sync", "runtime"}

func TestCoreIsPure(t *testing.T) {
	for _, file := range coreFiles(t, false) {
		files := token.NewFileSet()
		f, err := parser.ParseFile(files, file, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Error(err)
			continue
		}
		for _, complaint := range impurities(files, f) {
			t.Error(complaint)
		}
	}
}

func TestImpurityIsFound(t *testing.T) {
	const source = `package p
import (
	"math"
	clock "time"
	"os/exec"
	"math/rand/v2"
)
var a = math.Exp(1)
var b = clock.Now().Add(clock.Second)
var c = math.Pi * math.Sqrt(2)
func f() { go f(); clock.Time{}.Local() }
`
	files := token.NewFileSet()
	f, err := parser.ParseFile(files, "p.go", source, parser.SkipObjectResolution)
	if err != nil {
		t.Fatal(err)
	}
	got := strings.Join(impurities(files, f), "\n")
	for _, want := range []string{
		"p.go:5:2: imports os/exec", "p.go:6:2: imports math/rand/v2", "p.go:8:9: math.Exp",
		"p.go:9:9: time.Now", "p.go:11:12: starts a goroutine", "p.go:11:20: Local",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("not found: %s; got\n%s", want, got)
		}
	}
	if n := strings.Count(got, "\n") + 1; n != 6 {
		t.Errorf("%d complaints, want 6:\n%s", n, got)
	}
}

// impurities lists what in f would let the core see more than its inputs, or
// compute other bits elsewhere.
func impurities(files *token.FileSet, f *ast.File) []string {
	var found []string
	complain := func(n ast.Node, format string, args ...any) {
		found = append(found, fmt.Sprintf("%s: ", files.Position(n.Pos()))+fmt.Sprintf(format, args...))
	}
	names := map[string]string{} // what the file calls a package, to its path
	knowsTime := false
	for _, spec := range f.Imports {
		p, _ := strconv.Unquote(spec.Path.Value)
		name := path.Base(p)
		if spec.Name != nil {
			name = spec.Name.Name
		}
		names[name] = p
		knowsTime = knowsTime || p == "time"
		for _, b := range banned {
			if p == b || strings.HasPrefix(p, b+"/") {
				complain(spec, "imports %s, which the core must not know", p)
			}
		}
	}
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.GoStmt:
			complain(n, "starts a goroutine, whose order nobody can repeat")
		case *ast.SelectorExpr:
			word := n.Sel.Name
			base, _ := n.X.(*ast.Ident)
			switch {
			case base != nil && names[base.Name] == "math" && !mathAllowed(word):
				complain(n, "math.%s has other bits on other machines: use rules/repeatable", word)
			case base != nil && names[base.Name] == "time" && !slices.Contains(timeWords, word):
				complain(n, "time.%s is more than a value: time comes in with the inputs", word)
			case knowsTime && word == "Local":
				complain(n, "Local is the time zone of the machine")
			}
		}
		return true
	})
	return found
}

// mathAllowed says yes to exact functions and to constants (Pi, MaxInt64 …).
func mathAllowed(word string) bool {
	constant := strings.HasPrefix(word, "Max") && len(word) > 3 || strings.HasPrefix(word, "Smallest") ||
		strings.HasPrefix(word, "MinInt") || strings.HasPrefix(word, "Sqrt") && len(word) > 4 ||
		strings.HasPrefix(word, "Ln") || word == "Pi" || word == "E" || word == "Log2E" || word == "Log10E"
	return constant || slices.Contains(exactMath, word)
}
