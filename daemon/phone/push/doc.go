// Package push calls a phone through the page it has added: Web Push, which
// every browser maker's push service speaks. Start at [Open]; a phone is added
// with [Office.SignUp], and [Office.Channel] carries notices to all phones of
// one contact.
//
// The message is encrypted for the phone alone (RFC 8291); the push service in
// between sees when, how large and how urgent it is (RFC 8030), and who sends it
// (RFC 8292), nothing else. Where a phone is reached, its endpoint, works like a
// password and is shown to nobody.
//
// The package refuses to follow a redirect, to be sent to an address inside the
// house, and to put another key in the place of a damaged one: that would cut
// off every phone without a word.
//
// The sums of RFC 8291 and RFC 8292 are those of webpush-go. What the page and
// the service worker do is in push.js and wake.js of dashboards/page/static.
package push
