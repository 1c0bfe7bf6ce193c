// Package mail sends notices as electronic mail, by handing them to a submission
// server (RFC 6409) over SMTP (RFC 5321). Start at [New].
//
// An entry of the site file needs
//
//	kind     "mail"
//	name     the channel's name
//	host     the submission server's name
//	port     its port; 587, or 465 if tls = "tls", or 25 if tls = "none"
//	tls      "starttls" (unless told otherwise), "tls" or "none"
//	user     and password_file or password_env, if the server wants a login
//	from     the sender's address, "bainward at the yard <yard@example.org>"
//	to       the contact's address, just one
//	picture  true: attach the drawing of the last half hour
//
// "starttls" insists: a server that does not offer it gets no mail. A login goes
// over TLS only, or to a server on this machine.
//
// The mail is plain text with an attachment at most (RFC 2045, 2046), says that no
// person wrote it (RFC 3834), and has the same Message-ID at every try, so that a
// mailbox may know a repetition. Names, titles and texts become headers only
// encoded (RFC 2047): a line break in one of them makes no header.
//
// That the server took a mail says nothing of when somebody reads it. For an alarm
// mail is the last channel, not the first.
package mail
