package verify

// Kind names what is wrong with a record. The words are part of the report.
type Kind string

// The kinds of finding.
const (
	DamagedFile         Kind = "damaged file"         // SQLite itself cannot make sense of it
	Layout              Kind = "layout"               // tables, views or marks are not those of the format
	MissingNumber       Kind = "missing number"       // a hole in the numbers of entries or leaves
	NumberTwice         Kind = "number twice"         // one number, two entries
	Order               Kind = "order"                // leaves, blocks or entries not in their order
	OffsetGoesBack      Kind = "offset goes back"     // the clock that never jumps did
	ClockJumps          Kind = "clock jumps"          // the time of day jumped and no entry says so
	UnreadableLine      Kind = "unreadable line"      // an entry or a block that says nothing
	LeafHash            Kind = "leaf hash"            // a line is not the one whose hash was kept
	TreeHash            Kind = "tree hash"            // a kept hash is not that of what is below it
	CheckpointRoot      Kind = "checkpoint root"      // what was signed is not this tree
	CheckpointSignature Kind = "checkpoint signature" // not signed by the key in force
	CheckpointSize      Kind = "checkpoint size"      // covers another part than it should
	UnknownKey          Kind = "unknown key"          // signed, but by somebody else
	KeyRotation         Kind = "key rotation"         // a new key that the old one did not sign
	DoesNotFollow       Kind = "does not follow"      // the rules say otherwise
	StoredTime          Kind = "stored time"          // what is said of a place where bottles stand cannot be
	CutShort            Kind = "cut short"            // it ends before a checkpoint that is held elsewhere
	AnotherHistory      Kind = "another history"      // a checkpoint held elsewhere is not on this tree

	// DoesNotFollowVersion is told apart since a rule may have changed in between.
	DoesNotFollowVersion Kind = "does not follow (another version)"
)

// means says what a finding of the kind comes down to, in one sentence.
func (k Kind) means() string {
	switch k {
	case DamagedFile:
		return "The file is damaged: take another copy, and look at the disk that this one was on."
	case Layout:
		return "The file is not laid out as a record is: somebody changed its tables, views or marks."
	case MissingNumber:
		return "Something that was recorded is gone."
	case NumberTwice:
		return "Something was put in after the fact, or copied over something else."
	case Order:
		return "Something stands where it was not written."
	case OffsetGoesBack:
		return "The clock that counts from the record's beginning never goes back: an instant was changed, or entries change places."
	case ClockJumps:
		return "The time of day was set, or changed afterwards, and no entry says so."
	case UnreadableLine:
		return "What stands here cannot be read as what a record holds."
	case LeafHash:
		return "The line is not the one that was sealed, or its hash is not."
	case TreeHash:
		return "A hash of the tree is not that of what stands below it."
	case CheckpointRoot:
		return "Something before this checkpoint is not what it was when it was signed."
	case CheckpointSignature:
		return "Nobody who has the record's key signed this checkpoint as it stands here."
	case CheckpointSize:
		return "The checkpoint covers another part of the record than where it stands."
	case UnknownKey:
		return "Somebody signed it, but not the holder of the key that counts."
	case KeyRotation:
		return "The key changed and the holder of the old one did not say so: whoever wrote from here on need not be the same."
	case DoesNotFollow:
		return "What was judged does not follow from what was measured and done: one of them was changed."
	case DoesNotFollowVersion:
		return "What was judged does not follow by this version's rules; it was judged by another version: fold it with that one."
	case StoredTime:
		return "How warm it was where bottles stood is told twice, or as no probe can have measured it."
	case CutShort:
		return "The record ends before a checkpoint that is held elsewhere: its end was cut off, or this is an old copy."
	case AnotherHistory:
		return "The record is not the one that this checkpoint was taken from: it was rewritten."
	}
	return ""
}
