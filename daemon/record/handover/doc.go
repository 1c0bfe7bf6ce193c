// Package handover writes all there is of one batch into a folder that stands
// alone, for somebody who was not there: Write, and Pack for a zip of it. Check
// looks at such a folder as its README tells anybody to.
//
// The folder holds the batch's leaves of the record as they were hashed
// (entries.jsonl), the trace (trace.csv), the batch sheet, a signed checkpoint,
// a proof that every leaf is of the tree under that checkpoint (Proof), the
// public key, and check.py, which checks all of it with Python's standard
// library and shares no line with this program.
//
// Leaves of other baths and other days are not in it: their place in the tree is
// taken by hashes, from which nothing can be read.
package handover
