package asapplied

import "ratewright/geo/vector"

// inputFault is an error about the content of a file.
func inputFault(file, place, what, fix string) error {
	return &vector.InputError{File: file, Place: place, What: what, Fix: fix}
}
