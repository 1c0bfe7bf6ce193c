package record

import "fmt"

// InUseError says that another process writes to the record.
type InUseError struct {
	Dir string
	PID int // 0 if it is not known
}

func (e *InUseError) Error() string {
	who := "another bainward"
	if e.PID != 0 {
		who = fmt.Sprintf("another bainward (process %d)", e.PID)
	}
	return fmt.Sprintf("record %s is in use by %s: stop it or give another folder", e.Dir, who)
}

// NewerError says that a newer program wrote the record.
type NewerError struct {
	Dir         string
	Have, Known int
}

func (e *NewerError) Error() string {
	return fmt.Sprintf("record %s was written by a newer bainward (format %d, this one knows up to %d): install that one or give another folder",
		e.Dir, e.Have, e.Known)
}

// OlderError says that the record is in a format that readers do not know any
// more; a daemon that opens it for writing converts it.
type OlderError struct {
	Dir         string
	Have, Known int
}

func (e *OlderError) Error() string {
	return fmt.Sprintf("record %s was written by an older bainward (format %d, this one reads %d): start the daemon on it once, which converts it",
		e.Dir, e.Have, e.Known)
}

// NotRecordError says that what lies in the record's place is something else.
type NotRecordError struct {
	Path string
	What string // what it is instead
}

func (e *NotRecordError) Error() string {
	return fmt.Sprintf("%s is not a record but %s: move it away or give another folder", e.Path, e.What)
}

// FolderError says that the record's folder cannot be used.
type FolderError struct {
	Dir  string
	What string // what cannot be done
	Err  error
}

func (e *FolderError) Error() string {
	return fmt.Sprintf("record folder %s cannot be %s: %v: give a folder that this user may write to", e.Dir, e.What, e.Err)
}

// Unwrap returns the cause.
func (e *FolderError) Unwrap() error { return e.Err }
