package verify

import "testing"

// Comments and spaces make no difference to a statement; anything else does.
func TestOnlyCommentsAndSpacesMakeNoDifference(t *testing.T) {
	const statement = "CREATE TABLE bath (\n  id   INTEGER, -- a 'number'\n  name TEXT    -- of it\n)"
	const want = "CREATE TABLE bath ( id INTEGER, name TEXT )"
	if got := bare(statement); got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if got := bare("SELECT 'a  -- b'  FROM t -- c"); got != "SELECT 'a  -- b' FROM t" {
		t.Errorf("within quotes: %q", got)
	}
	for i := range len(want) {
		changed := []byte(want)
		changed[i] ^= 1
		if got := bare(string(changed)); got == want {
			t.Errorf("%q is taken for %q", changed, want)
		}
	}
}
