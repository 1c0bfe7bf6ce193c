// Package people knows who may come in: who works at the site, in which role,
// by which password, and who is signed in just now.
//
// Start with Open and Door. Names and roles come from the site file; what proves
// who somebody is stays out of it:
//
//   - the file of passwords (Book, book.go) holds a bcrypt hash a person, and what
//     commands changed there, for the record (trail.go). Only the command line writes
//     it; a running daemon reads it again when it has changed.
//   - the file of sessions (sessions.go) holds the SHA-256 of every token that a
//     browser keeps, so that a restart in the middle of a batch sends nobody to the
//     door. Only the daemon writes it.
//   - the file of the command line (commandline.go) holds a token that is new at
//     every start: who can read it is the daemon's user or root.
//
// All three have mode 0600 and are replaced whole. No password, hash or token is
// in an error, a log or the record.
//
// # Roles
//
//	          see   enter   sign   export   keep
//	viewer     x
//	maker      x      x
//	auditor    x             x        x
//	keeper     x      x      x        x       x
//
// See is every page and figure. Enter is what is done at a bath: events, alarms,
// goods, checklists, answers, the recipe of the next batch, the phone that is
// called. Sign is to put one's name under a batch. Export is a copy of the record.
// Keep is what changes how the site is watched: a heat cut-out let go, a probe
// calibrated. Which address asks for which right stands in daemon/web/door_rights.go.
//
// # What it does against guessing
//
// Passwords are at least 10 characters (NIST SP 800-63B-4 asks for 8 beside a
// second proof and 15 alone; a kitchen is between) and not one of those everybody
// tries first. Five mistakes are free; then each waits longer than the last, for
// the name and for the address alike, and twenty lock both for a quarter of an
// hour (patience.go), but a name not where its person came in of late (places.go):
// nobody shuts a colleague out. An unknown name costs the same time and gets the same words.
// One password is checked at a time, so that guessing takes no core from the baths.
//
// Nothing here can hold up an alarm, or the link in a message that answers one.
package people
