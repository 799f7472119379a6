// Package season runs the jobs of many fields as one: it finds them, does what
// each asks for on several processors, and makes a table of them all.
//
// # What a run leaves behind
//
// The results of each application of a job go into a folder of their own through
// package outputs: all of them or none, a stamp last. The stamp holds the SHA-256
// of the program, of every input and of every output, and the row of the table.
// Where all of them are still the same, a later run takes the row from the stamp
// and computes nothing. A run that was killed is therefore resumed by starting it
// again: fields whose set was whole are unchanged, the set that was being
// replaced is finished or undone, and the rest is computed.
//
// # Logs of many fields
//
// A log that several jobs read in the same way is read once and kept in memory
// until the last of them is done; each field takes the records near it. Jobs
// that share a log are worked on one after the other, and what is kept is
// bounded: a log that has to go too early is read again.
//
// # Shards
//
// The jobs have one order, that of their paths. Shard I of N takes every N-th of
// them from the I-th on, so that N machines do the work of one without talking to
// each other; [Join] puts their tables together.
package season
