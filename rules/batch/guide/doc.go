// Package guide leads a maker through a batch, one step after the other: what to
// do now, what to watch for, and what is still to be entered. Start with Of.
//
// It asks for nothing that can be known. What the recipe, the plan, the scale or
// an earlier batch say is offered, ready to be sent as it stands; what is in the
// books already is not asked again.
//
// The guide holds no state of its own. Where a batch stands follows from what was
// recorded of it, so two phones show the same step, and a deed that was entered
// elsewhere moves the guide on as well. A step that was passed over stays open: it
// can be entered later, and is said to be missing meanwhile.
//
// It gives no leave and withholds none: what cannot have happened is refused where
// it is entered. It is part of the pure core.
package guide
