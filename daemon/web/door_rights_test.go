package web

import (
	"go/ast"
	"go/parser"
	"go/token"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"bainward/daemon/people"
)

// sources parses the code of this room without its tests.
func sources(t *testing.T) []*ast.File {
	t.Helper()
	names, err := filepath.Glob("*.go")
	if err != nil || len(names) == 0 {
		t.Fatalf("no sources: %v", err)
	}
	var files []*ast.File
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	return files
}

// routesInSource lists every address that is registered with a mux.
func routesInSource(t *testing.T) map[string]bool {
	t.Helper()
	found := map[string]bool{}
	for _, f := range sources(t) {
		ast.Inspect(f, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok || len(call.Args) != 2 {
				return true
			}
			if on, ok := call.Fun.(*ast.SelectorExpr); !ok || on.Sel.Name != "Handle" && on.Sel.Name != "HandleFunc" {
				return true
			}
			literal, ok := call.Args[0].(*ast.BasicLit)
			if !ok {
				t.Errorf("a route of %s is not written out, so nothing can be said of it", f.Name)
				return true
			}
			route, err := strconv.Unquote(literal.Value)
			if err != nil {
				t.Fatal(err)
			}
			found[route] = true
			return true
		})
	}
	return found
}

// Every route stands in the table of rights: a new one that does not is the
// keeper's until somebody has thought about it. Nothing stands there that is gone.
func TestEveryRouteIsInTheTable(t *testing.T) {
	found := routesInSource(t)
	if len(found) < 30 {
		t.Fatalf("only %d routes were found: the search is broken", len(found))
	}
	for route := range found {
		if _, known := rights[route]; !known {
			t.Errorf("%s is not in the table of door_rights.go: say there who may ask for it", route)
		}
	}
	for route := range rights {
		if !found[route] {
			t.Errorf("%s is in the table and nowhere else", route)
		}
	}
}

// what each role is answered, by the right that a route asks for. 303 leads a
// person to the door, 401 tells a program, 403 tells somebody who is in.
var answers = map[people.Role]map[people.Right]int{
	people.NoRole:  {people.Anybody: 200, people.See: 401, people.Enter: 401, people.Sign: 401, people.Export: 401, people.Keep: 401},
	people.Viewer:  {people.Anybody: 200, people.See: 200, people.Enter: 403, people.Sign: 403, people.Export: 403, people.Keep: 403},
	people.Maker:   {people.Anybody: 200, people.See: 200, people.Enter: 200, people.Sign: 403, people.Export: 403, people.Keep: 403},
	people.Auditor: {people.Anybody: 200, people.See: 200, people.Enter: 403, people.Sign: 200, people.Export: 200, people.Keep: 403},
	people.Keeper:  {people.Anybody: 200, people.See: 200, people.Enter: 200, people.Sign: 200, people.Export: 200, people.Keep: 200},
}

var wildcard = regexp.MustCompile(`\{[^}]*\}`)

// Every role at every route: who may gets through, who may not is told, and who is
// not in is sent to the door. A route that nobody thought of is the keeper's.
func TestEveryRoleAtEveryRoute(t *testing.T) {
	h := newDoorHouse(t)
	mux := http.NewServeMux()
	const forgotten = "POST /api/nobody/thought/of/this"
	routes := map[string]people.Right{forgotten: people.Keep}
	for route, right := range rights {
		routes[route] = right
	}
	for route := range routes {
		mux.HandleFunc(route, func(http.ResponseWriter, *http.Request) {})
	}
	gate := h.server.keepDoor(mux)
	for role, wants := range answers {
		for route, right := range routes {
			method, path, both := strings.Cut(route, " ")
			if !both {
				method, path = http.MethodGet, "/not/there"
			}
			r := httptest.NewRequest(method, wildcard.ReplaceAllString(strings.ReplaceAll(path, "{$}", ""), "x"), nil)
			r.RemoteAddr = "192.0.2.7:4711"
			r.TLS = underTLS
			if role != people.NoRole {
				r.AddCookie(&http.Cookie{Name: safeCookie, Value: h.token[role]})
			}
			w := httptest.NewRecorder()
			gate.ServeHTTP(w, r)
			if w.Code != wants[right] {
				t.Errorf("%s at %s (%s): %d, want %d", role, route, right, w.Code, wants[right])
			}
		}
	}
}

// A name in a body is always read into a field called Who: that is the one which
// the name of the session is put over.
func TestEveryWhoIsPutOver(t *testing.T) {
	found := 0
	for _, f := range sources(t) {
		ast.Inspect(f, func(n ast.Node) bool {
			field, ok := n.(*ast.Field)
			if !ok || field.Tag == nil || !strings.Contains(field.Tag.Value, `json:"who`) {
				return true
			}
			found++
			if len(field.Names) != 1 || field.Names[0].Name != "Who" {
				t.Errorf(`a field %v is read from "who"; call it Who, or a session's name is not put over it`, field.Names)
			}
			return true
		})
	}
	if found < 5 {
		t.Fatalf("only %d fields were found: the search is broken", found)
	}
}
