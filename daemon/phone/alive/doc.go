// Package alive is about the watching itself: it tells others that this daemon
// watches, and people here that a sibling does not any more.
//
// A Heartbeat calls an address again and again while all is well. Whoever listens
// there, at another place and on another supply, raises the alarm when the calls
// stop: silence is the alarm, so that power, network, card and daemon may fail in
// any way.
//
// A Peer is the same the other way round: what this daemon makes of the status
// that a sibling publishes at the broker. It is pure; the status words arrive
// from whoever listens to the broker.
package alive
