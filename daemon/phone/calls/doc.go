// Package calls decides who is called about an alarm, when, and again until
// somebody answers. It is pure: no clock, no file, no goroutine, no chance. Time
// comes in with each step, and the same steps give the same calls everywhere.
//
// Start with escalation.go, which holds what each priority asks for and why,
// and Book.Step, which takes what happened and returns facts: a call was opened,
// a notice is due, a try went so, a call ended. The facts are all that changes a
// Book (take.go), so that folding them again, from the record, gives the same
// Book: after a restart nothing is forgotten, and what was delivered is not sent
// again.
//
// The order to keep: the facts of a step are recorded first; then the new Book
// counts; only then do its notices leave. If recording fails, drop the new Book
// and go on with the old one: the next step finds the same things due.
//
//	next, facts := book.Step(plan, now, happened)
//	if err := record(facts); err == nil {
//		book = next
//	}
//
// The package sends nothing and knows no channel but by its name: daemon/phone
// does that. It does not acknowledge alarms: whoever answers a call
// acknowledges its alarm as well, in the same entry of the record.
package calls
