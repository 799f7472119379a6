// Package job reads a job file, opens the inputs it names and runs the steps of
// a command. It returns results and the bytes of the output files; beside a
// temporary copy, to read a rate map back, it writes
// nothing, and it prints nothing.
//
// The job file is YAML. Paths in it are relative to it. An unknown key, a key
// given twice, a value of the wrong kind and a bare number where a unit is due
// are errors that name the file and the line; all of them are reported at once.
package job
