package app

import "cmp"

// orSomebody is who stands in the record for a deed whose doer gave no name, which
// only happens where nobody signs in: then it was somebody at this machine.
func orSomebody(who string) string { return cmp.Or(who, "somebody at the page") }
