package main

// recordCommand groups what is done with a record.
type recordCommand struct {
	Export recordExportCommand `cmd:"" help:"Hand a batch over: a folder or zip that stands alone and can be checked without this program."`
	Import recordImportCommand `cmd:"" help:"Check a hand-over of another record and keep it beside this one."`
	Backup recordBackupCommand `cmd:"" help:"Copy the record while a daemon writes it."`
	NewKey recordNewKeyCommand `cmd:"" name:"new-key" help:"Let a new key sign the record from here on; the one before signs that. The daemon must not run."`
	Verify recordVerifyCommand `cmd:"" help:"Say whether a record is what it was: complete, as it was sealed and signed, and judged as the rules judge."`
}
