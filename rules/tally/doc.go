// Package tally reckons how well the alarms of a site do their work, in the
// figures of ANSI/ISA-18.2, IEC 62682 and EEMUA 191: how many call, how often
// too many at once, which chatter, how soon somebody answers.
//
// Start with Of: a list of annunciations and what was watched go in, Figures
// come out. A Ledger makes both of what a record tells, in order. Measures puts
// the figures beside the standards' targets.
//
// An annunciation is an alarm that comes into the state unacknowledged: it calls
// somebody. One that comes again after it returned, or that stands when its
// shelf ends, calls anew and counts anew.
//
// # What the figures are divided by
//
// Operating time is the time in which the daemon watched; while it was down
// nothing could call. All figures are reckoned on a clock that runs only in that
// time, so that an alarm that stands over a night with the power off grows no
// older. But most of the time a workshop's baths are cold, and a rate over all
// of it flatters. So there is a second rate, over the hours with a lit bath, of
// the alarms that called in them.
//
// The standards' targets are for one operating position; here that is the site,
// since one maker answers all its baths. A bath alone is shown beside them too.
// They ask for at least thirty days of data.
package tally
