package record

import (
	"encoding/json"
	"strconv"

	"golang.org/x/mod/sumdb/tlog"
)

// Leaf is one leaf of the record's tree, which is that of RFC 6962, 2.1: an
// entry, or a block of readings. Its line is what an export writes.
type Leaf struct {
	Number int64  // from 0, in the order of sealing
	Line   []byte // one JSON object without its newline; nil: it was thinned out
	// thinned is what is left of a leaf that was thinned out.
	thinned tlog.Hash
}

// Hash returns SHA-256(00 ‖ line), also of a line that was thinned out.
func (l Leaf) Hash() tlog.Hash {
	if l.Line == nil {
		return l.thinned
	}
	return tlog.RecordHash(l.Line)
}

// appendEntryLine appends the line of an entry that is no reading. Nothing but
// the number of the leaf is added to what the file keeps, and the body stands
// there byte for byte, so that the line can be made again from the file in ten
// years. Strings are escaped as json.Marshal does it.
func appendEntryLine(line []byte, leaf int64, e *Entry) []byte {
	line = append(line, `{"leaf":`...)
	line = strconv.AppendInt(line, leaf, 10)
	line = append(line, `,"seq":`...)
	line = strconv.AppendInt(line, e.Seq, 10)
	line = append(line, `,"at_ms":`...)
	line = strconv.AppendInt(line, e.At.Milliseconds(), 10)
	line = append(line, `,"wall_ms":`...)
	line = strconv.AppendInt(line, e.Wall.UnixMilli(), 10)
	line = append(line, `,"bath":`...)
	line = appendText(line, e.Bath)
	line = append(line, `,"kind":`...)
	line = appendText(line, string(e.Kind))
	line = append(line, `,"body":`...)
	line = append(line, e.Body...)
	return append(line, '}')
}

func appendText(line []byte, text string) []byte {
	quoted, err := json.Marshal(text)
	if err != nil {
		panic(err) // a string always has its JSON
	}
	return append(line, quoted...)
}
