// Package briefing puts a batch.Plan before people, the same on paper, page and
// terminal: what to weigh in, when to expect what by the clock, what comes out,
// what is wrong, what to see to before the heat is on, and what to know of herb,
// oil and law. Start with Of. Its JSON form is Briefing itself.
//
// It reckons nothing that package batch does not; it chooses, words and orders.
// It is part of the pure core: the time of lighting comes in with About.
package briefing
