// Package phone is the desk from which notices leave the house: it takes what
// daemon/phone/calls found due, once the record has it, and carries it through
// the channels until each notice has arrived, is not needed any more, or is given
// up.
//
// Start with Desk. Its promises:
//
//   - Hand never waits, whatever the channels do.
//   - A channel that hangs delays no other channel, and within its own a grave
//     notice waits for no lesser one.
//   - Once Withdraw or Settle has returned, no try begins for a notice all of
//     whose calls have ended; one under way is cancelled.
//   - How every try went is kept until the caller says that the record has it.
//
// The desk remembers nothing across restarts: what had not arrived is handed to
// the next one (calls.Book.Waiting), and so may arrive twice, but never not at
// all. It decides nothing about who is called; it retries because a network
// fails, not because a person does not answer.
package phone
