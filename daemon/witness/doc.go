// Package witness looks at the checkpoints of other daemons' records, so that
// none of them can be rewritten unseen. Start with Peer.Hear: it takes what a
// broker has of another site and says whether its record only grew.
//
// Whoever signs a record can write another one and sign that as well; nothing
// inside a record shows it. A checkpoint that somebody else holds does. A Peer
// keeps the newest checkpoint that it saw and believes the next only if the
// other side proves (RFC 6962, 2.1.2) that the older tree is a beginning of the
// newer one, and if it is signed by the key that signed the first, or by one that
// this key handed over to.
//
// The first key is taken as it comes. What a witness says is thus: since I have
// looked, this record only grew.
//
// It speaks to nobody and keeps nothing on disk; see daemon/app.
package witness
