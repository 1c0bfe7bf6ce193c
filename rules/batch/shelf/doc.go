// Package shelf says until when an oil keeps and how a label tells it. Start
// with UseBy; MeanKinetic turns a year of a store's temperatures into one, and
// MarkFor chooses between a date and a period after opening.
//
// A date here is a day of the calendar: a time.Time at midnight UTC. The zero
// Time is a date that nobody gave. No date is ever later than that of the base
// oil, and none is a promise: rancid oil is thrown away whatever its label says.
package shelf
