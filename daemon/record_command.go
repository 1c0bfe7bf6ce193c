package main

// recordCommand groups what is done with a record.
type recordCommand struct {
	Verify recordVerifyCommand `cmd:"" help:"Say whether a record is what it was: complete, as it was sealed and signed, and judged as the rules judge."`
}
