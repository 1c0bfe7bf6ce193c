// Package batch plans a hot macerated oil before anything is lit: from the
// recipe, the rig and the site it reckons what to weigh in, how much water goes
// under the dish, when what will happen, and what will come out. Start with
// Reckon; Plan.Lines says the plan in words, each figure with its source, and
// Plan.Findings what is wrong with it.
//
// What is needed around it has rooms of its own: larder (herbs and oils as
// stuff), strength (the books of one or more macerations), cooling (when the
// oil may be bottled), shelf (until when it keeps), label (what stands on the
// bottle), cautions (what people should know), amount (figures with their
// doubt, in words).
//
// Weights are the truth: a volume of oil is taken at the temperature at which
// it was measured. A plan is a guess with a range; while the bath runs,
// rules/balance knows better. It is part of the pure core.
package batch
