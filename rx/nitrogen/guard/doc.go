// Package guard speaks before harm: from a plain description of one application it
// lists what may go wrong with it, each warning with the published figure first, the
// rule of practice beside it, and the source of both.
//
// Warnings are prompts. Each defers to the product label, state and local rules and
// licensed practice, and none knows the field. A warning does not stop anything: what
// is done with it is for the caller.
//
// What is not known is never taken for good. A guard that lacks an input says so in a
// warning marked Unchecked, at the level of a note.
//
// Laws that tests hold: within a season, ammonia placed deeper, a later planting, a
// lower rate, more rain, less residue and an earlier stage of the crop never add a
// warning nor raise its level.
//
// Distances kept from wells and water are not guarded here: what is published for
// manure does not hold for commercial nitrogen.
package guard
