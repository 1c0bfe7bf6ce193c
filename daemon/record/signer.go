package record

import "golang.org/x/mod/sumdb/note"

// Signer returns what signs checkpoints, for cosigning those of other records; ok
// is false of a record without its private key. A rotation makes it an old one.
func (r *Record) Signer() (s note.Signer, ok bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	key, held := r.keyAt(&r.tail)
	return key.signer, held
}
