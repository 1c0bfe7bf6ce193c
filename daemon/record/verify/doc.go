// Package verify says whether a record is what it was: complete, in order, as it
// was sealed and signed, and whether all that was judged in it follows from what
// was measured. It needs no daemon, changes no file, and works on a copy.
//
// Start with Folder, then follow one leaf: leaf.go reads it, line.go and block.go
// bring it back to the line that was hashed, tree.go puts it into the tree of RFC
// 6962, checkpoint.go holds the tree against what was signed, timeline.go counts
// numbers and offsets. fold.go then folds what went into the rules again and
// compares what came out.
//
// It shares no code with what writes the record, but for the words of its
// entries and the rules themselves: a fault that both had in common would be
// found by neither. It repairs nothing, and it does not say who changed a record,
// only what does not fit together.
package verify
