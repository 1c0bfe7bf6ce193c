// Package record is the durable record: one numbered log, 1, 2, 3 … without
// holes, of every poll of every bath and of all that followed from it.
//
// Start with Entry, then Open and Append. Append is the promise that the rest
// of the daemon leans on: when it returns without an error, its entries are on
// disk, all of them, and will be there after a kill or a power cut; when it
// returns an error, none of them counts, and the next call may try again.
// Nothing is announced before its entry is recorded.
//
// The record is one SQLite file, record.db, in a folder of its own, in WAL mode
// with synchronous=FULL: one poll is one transaction is one fsync. A second
// file, lock, is held by the daemon that writes; the kernel lets go of it when
// that process dies. Any number of readers may look on (OpenReader). READING.md
// tells people what they find when they open the file with sqlite3; schema.go
// says how it is laid out and why.
//
// Readings are rows when they are written and packed blocks of minutes soon after
// (seal.go, block.go). Every entry and every block is a leaf of a Merkle tree
// (leaf.go, edge.go), whose root is signed by a Checkpoint with a Key of the
// record's own; sealing, hashing and signing happen within the commit of the
// Append that causes them. Whoever holds a checkpoint can tell later whether the
// record was changed before it: Leaves, Root, Inclusion and Consistency are for
// that, and package verify does it without any code of this one.
//
// Instants are kept in whole milliseconds (Tick) and temperatures in steps of
// sensors.Grid. What the rules judge must be what the record gives back, so a
// frame is rounded with Rounded before the rules see it, and Append refuses one
// that was not.
//
// The package keeps entries and finds them again. It does not judge them, does
// not leave out what a later correction voids, never changes or deletes an
// entry, and does not repair a damaged file. Readings between batches it gives up
// when it is asked to, and says so in the record (Thin).
package record
