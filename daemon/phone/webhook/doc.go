// Package webhook sends notices as signed JSON documents to an HTTP address of
// one's own: home automation, a script, a relay. Start at [New]; the document,
// the signature and a receiver in Python are in WEBHOOK.md, which is written for
// those who receive.
//
// An entry of the site file needs
//
//	kind     "webhook"
//	name     the channel's name
//	url_file or url_env   where the address is kept; whoever knows it can post there
//	key_file or key_env   where the key of the signature is kept
//	picture  true: put the drawing of the last half hour into the document
//
// A delivery is one POST. It does not follow redirects: a notice goes where it was
// meant to go or nowhere. What the receiver writes into its answer is not read;
// only the status counts.
package webhook
