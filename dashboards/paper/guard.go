package paper

import (
	"fmt"
	"strings"
)

// guarded runs a call of the PDF library, which panics on a font whose tables are
// there but wrong inside: it follows their offsets without looking. A font file is
// the caller's, so that is his error and not the end of the program. With the
// built-in typeface alone a panic is a slip of ours and stays one.
func (p *pen) guarded(call func() error) (err error) {
	var named []string
	for _, f := range p.faces {
		if f.path != "" {
			named = append(named, fmt.Sprintf("%q", f.path))
		}
	}
	if len(named) > 0 {
		defer func() {
			if cause := recover(); cause != nil {
				err = fmt.Errorf("use font %s: it is damaged inside, take another file of it: %v", strings.Join(named, " or "), cause) // a panic's value is no error
			}
		}()
	}
	return call()
}
