package verify

import (
	"encoding/json"
	"strconv"
)

// entryRow is an entry as the file keeps it. Text is only good until the next row.
type entryRow struct {
	seq, leaf, atMS, wallMS int64
	bath                    string
	kind                    string
	body                    []byte
}

// appendLine brings the entry back to the line whose hash is its leaf.
func (e *entryRow) appendLine(line []byte) []byte {
	line = append(line, `{"leaf":`...)
	line = strconv.AppendInt(line, e.leaf, 10)
	line = append(line, `,"seq":`...)
	line = strconv.AppendInt(line, e.seq, 10)
	line = append(line, `,"at_ms":`...)
	line = strconv.AppendInt(line, e.atMS, 10)
	line = append(line, `,"wall_ms":`...)
	line = strconv.AppendInt(line, e.wallMS, 10)
	line = append(line, `,"bath":`...)
	line = appendQuoted(line, e.bath)
	line = append(line, `,"kind":`...)
	line = appendQuoted(line, e.kind)
	line = append(line, `,"body":`...)
	line = append(line, e.body...)
	return append(line, '}')
}

// appendQuoted appends text as encoding/json writes it. Names are short and
// mostly plain, so they seldom need it.
func appendQuoted(line []byte, text string) []byte {
	for i := range len(text) {
		if c := text[i]; c < ' ' || c >= 0x7f || c == '"' || c == '\\' || c == '<' || c == '>' || c == '&' {
			quoted, err := json.Marshal(text)
			if err != nil {
				panic(err) // a string always has its JSON
			}
			return append(line, quoted...)
		}
	}
	return append(append(append(line, '"'), text...), '"')
}
