package verify

import (
	"context"
	_ "embed"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// The marks in the file's header.
const (
	applicationID = 0x62777264 // "bwrd"
	formatNumber  = 2
)

// layoutSQL is the layout of format 2, written out here a second time: what an
// auditor reads with the sqlite3 program is what the views say, so they must be
// the right ones. Its comments are left out: another version may word them
// otherwise.
//
//go:embed layout.sql
var layoutSQL string

// layout looks at the file as a whole: its marks, its tables and views, and
// whether SQLite finds it sound. It returns the format, 0 if there is nothing
// further to look at.
func (v *verifier) layout(ctx context.Context) (int, error) {
	var id, format int
	err := v.file.db.QueryRowContext(ctx, "SELECT a.application_id, v.user_version FROM pragma_application_id a, pragma_user_version v").Scan(&id, &format)
	if err != nil {
		return 0, v.damaged(ctx, err)
	}
	switch {
	case id != applicationID:
		v.found.add(Finding{Kind: Layout, Expected: fmt.Sprintf("the mark of a record, %08x", applicationID), Found: fmt.Sprintf("the mark %08x", id)})
	case format == 1:
		return 0, fmt.Errorf("%s is of format 1, from before records were sealed: start this version's daemon on it once, it seals what is there", v.file.path)
	case format != formatNumber:
		v.found.add(Finding{Kind: Layout, Expected: fmt.Sprintf("format %d", formatNumber), Found: fmt.Sprintf("format %d, which this version does not know", format)})
	}
	if err := v.objects(ctx); err != nil {
		return 0, v.damaged(ctx, err)
	}
	return formatNumber, v.damaged(ctx, v.sound(ctx))
}

// sound asks SQLite whether the pages of the file fit together.
func (v *verifier) sound(ctx context.Context) error {
	rows, err := v.file.db.QueryContext(ctx, "PRAGMA integrity_check(20)")
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var says string
		if err := rows.Scan(&says); err != nil {
			return err
		}
		if says != "ok" {
			v.found.add(Finding{Kind: DamagedFile, Expected: "a file that SQLite finds sound", Found: says})
		}
	}
	return rows.Err()
}

// objects compares every table, index and view with what the format says.
func (v *verifier) objects(ctx context.Context) error {
	want := map[string]string{}
	for statement := range strings.SplitSeq(layoutSQL, ";\n") {
		if statement = strings.TrimSpace(statement); statement != "" {
			want[nameOf(statement)] = bare(statement)
		}
	}
	// SQLite takes blobs for texts here, and its integrity check lets them pass.
	rows, err := v.file.db.QueryContext(ctx, "SELECT type, name, tbl_name, coalesce(sql, ''), typeof(type) || typeof(name) || typeof(tbl_name) || typeof(coalesce(sql, '')) FROM sqlite_schema")
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var kind, name, table, statement, types string
		if err := rows.Scan(&kind, &name, &table, &statement, &types); err != nil {
			return err
		}
		if types != "texttexttexttext" {
			v.found.add(Finding{Kind: Layout, Expected: "texts that say what " + name + " is", Found: "not all of them are texts"})
		}
		if statement == "" && kind == "index" && name == "sqlite_autoindex_"+table+"_1" && table == "bath" {
			continue // of UNIQUE, made by SQLite itself
		}
		key := kind + " " + name + " " + table
		switch expected, ok := want[key]; {
		case !ok:
			v.found.add(Finding{Kind: Layout, Expected: "the tables, indexes and views of the format", Found: fmt.Sprintf("another: %s %q", kind, name)})
		case bare(statement) != expected:
			v.found.add(Finding{Kind: Layout, Expected: fmt.Sprintf("%s %s as the format has it", kind, name), Found: "it reads " + around(bare(statement), expected)})
		}
		delete(want, key)
	}
	for _, key := range slices.Sorted(maps.Keys(want)) {
		v.found.add(Finding{Kind: Layout, Expected: "the " + key, Found: "none"})
	}
	return rows.Err()
}

// nameOf returns kind, name and table of a CREATE statement.
func nameOf(statement string) string {
	words := strings.Fields(strings.Replace(statement, "UNIQUE ", "", 1))
	if len(words) < 5 {
		return statement
	}
	kind, name := strings.ToLower(words[1]), words[2]
	if kind == "index" {
		return kind + " " + name + " " + words[4]
	}
	return kind + " " + name + " " + name
}

// bare is a statement without its comments and with one space where there are
// several: what SQLite goes by.
func bare(statement string) string {
	var w strings.Builder
	quoted, space := false, false
	for i := 0; i < len(statement); i++ {
		c := statement[i]
		if !quoted && strings.HasPrefix(statement[i:], "--") {
			if end := strings.IndexByte(statement[i:], '\n'); end >= 0 {
				i += end
			} else {
				i = len(statement)
			}
			space = true
			continue
		}
		if !quoted && strings.IndexByte(" \t\r\n", c) >= 0 {
			space = true
			continue
		}
		if space && w.Len() > 0 {
			w.WriteByte(' ')
		}
		space, quoted = false, quoted != (c == '\'')
		w.WriteByte(c)
	}
	return w.String()
}

// around shows where a text begins to differ from what was expected.
func around(text, expected string) string {
	i := 0
	for i < len(text) && i < len(expected) && text[i] == expected[i] {
		i++
	}
	return fmt.Sprintf("%q from its byte %d on", text[max(0, i-20):min(len(text), i+40)], i)
}
