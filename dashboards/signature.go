package dashboards

import "time"

// Signature is somebody's name under a batch, as it stood under a checkpoint.
type Signature struct {
	At      time.Time `json:"at,omitzero"`
	By      string    `json:"by"`
	Role    string    `json:"role,omitempty"`
	Meaning string    `json:"meaning"` // made, reviewed, released or rejected
	Remark  string    `json:"remark,omitempty"`
	Size    int64     `json:"checkpoint_size,omitempty"`
	Root    string    `json:"checkpoint_root,omitempty"`
	// After is how many entries about the batch's goods came after it.
	After int `json:"entries_after"`
}

// Meaning is what a signature may say, and how the page asks for it.
type Meaning struct{ Word, Says string }

// Meanings are what a signature may say.
func Meanings() []Meaning {
	return []Meaning{
		{"reviewed", "I have read the record of it"},
		{"released", "it may be given out"},
		{"rejected", "it may not be given out"},
		{"made", "I made it, and the entries are true"},
	}
}

// SignBox is where a batch is signed, and who did.
type SignBox struct {
	Address string // of the batch in the JSON interface
	Signed  []Signature
	Trouble string // why they are not shown
	Name    string // who is here and may sign; empty: nobody
	Why     string // why nobody may
}

// Meanings are what a signature may say.
func (SignBox) Meanings() []Meaning { return Meanings() }
