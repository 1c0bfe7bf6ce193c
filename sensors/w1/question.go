package w1

import "context"

// question is something asked of the kernel that may never be answered: a read
// or write of sysfs cannot be interrupted. It is asked on a goroutine of its
// own, and not asked again while that one is outstanding, so that a dead wire
// costs one goroutine a file and not one a second.
//
// It is not for use by several goroutines at once.
type question[T any] struct {
	outstanding chan T // nil when nobody is asking
}

// ask calls call and returns what it says, or false when ctx ends first. If
// an earlier call is still outstanding it waits for that one instead: an answer
// that arrives during this ask is as new as one of its own. One that arrived
// before is thrown away.
func (q *question[T]) ask(ctx context.Context, call func() T) (answer T, ok bool) {
	if ctx.Err() != nil {
		return answer, false
	}
	select {
	case <-q.outstanding: // never ready when nil
		q.outstanding = nil
	default:
	}
	if q.outstanding == nil {
		answered := make(chan T, 1) // room for an answer nobody waits for
		q.outstanding = answered
		go func() { answered <- call() }()
	}
	select {
	case answer = <-q.outstanding:
		q.outstanding = nil
		return answer, true
	case <-ctx.Done():
		return answer, false
	}
}
