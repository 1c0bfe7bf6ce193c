package paper

import (
	"encoding/binary"
	"errors"
	"fmt"
)

// neededTables are what the PDF library reads without asking whether they are
// there (OpenType 1.9, "Required tables" and "TrueType outlines").
var neededTables = [...]string{"cmap", "glyf", "head", "hhea", "hmtx", "loca", "maxp", "name", "post", "OS/2"}

// checkTrueType says why a font file cannot be embedded. The PDF library would
// print to standard output, or panic, where this returns an error.
func checkTrueType(data []byte) error {
	if len(data) < 12 {
		return errors.New("the file is too short for a font")
	}
	switch string(data[:4]) {
	case "OTTO":
		return errors.New("its outlines are PostScript (.otf); a font with TrueType outlines (.ttf) is needed")
	case "ttcf":
		return errors.New("it is a collection (.ttc); a file with one font (.ttf) is needed")
	case "\x00\x01\x00\x00", "true":
	default:
		return errors.New("it is not a TrueType font")
	}
	tables, err := fontTables(data)
	if err != nil {
		return err
	}
	for _, name := range neededTables {
		if tables[name] == nil {
			return fmt.Errorf("it has no table %q", name)
		}
	}
	if err := mayEmbed(tables["OS/2"]); err != nil {
		return err
	}
	return hasPlainMap(tables["cmap"])
}

// fontTables returns the tables of a font by name.
func fontTables(data []byte) (map[string][]byte, error) {
	count := int(binary.BigEndian.Uint16(data[4:]))
	if len(data) < 12+16*count {
		return nil, errors.New("the file is cut off")
	}
	tables := make(map[string][]byte, count)
	for i := range count {
		entry := data[12+16*i:]
		from, size := int64(binary.BigEndian.Uint32(entry[8:])), int64(binary.BigEndian.Uint32(entry[12:]))
		if from+size > int64(len(data)) {
			return nil, fmt.Errorf("its table %q ends after the file", entry[:4])
		}
		tables[string(entry[:4])] = data[from : from+size]
	}
	return tables, nil
}

// mayEmbed honours the embedding bits of the font's maker (OpenType 1.9, OS/2,
// fsType): 2 forbids, 0x100 and 0x200 forbid subsets and outlines.
func mayEmbed(os2 []byte) error {
	if len(os2) < 10 {
		return errors.New("its table \"OS/2\" is cut off")
	}
	if rights := binary.BigEndian.Uint16(os2[8:]); rights == 2 || rights&0x300 != 0 {
		return errors.New("its maker does not allow it to be embedded in documents")
	}
	return nil
}

// hasPlainMap looks for a Unicode map of format 4, the only one that the PDF
// library reads (OpenType 1.9, cmap).
func hasPlainMap(cmap []byte) error {
	const header, record = 4, 8
	if len(cmap) < header {
		return errors.New("its table \"cmap\" is cut off")
	}
	for i := range int(binary.BigEndian.Uint16(cmap[2:])) {
		at := header + record*i
		if at+record > len(cmap) {
			break
		}
		platform, encoding := binary.BigEndian.Uint16(cmap[at:]), binary.BigEndian.Uint16(cmap[at+2:])
		sub := int64(binary.BigEndian.Uint32(cmap[at+4:]))
		if sub+2 > int64(len(cmap)) || platform != 0 && (platform != 3 || encoding != 1) {
			continue
		}
		if binary.BigEndian.Uint16(cmap[sub:]) == 4 {
			return nil
		}
	}
	return errors.New("it has no plain Unicode character map (cmap format 4)")
}
