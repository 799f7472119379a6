package job

import (
	"errors"

	"ratewright/asapplied"
)

// Report is what inspect found in several files.
type Report struct {
	Schema string                 `json:"schema"`
	Files  []asapplied.Inspection `json:"files"`
	unread []string
	err    error
}

// Inspect looks into files that a job can name.
func Inspect(paths []string) Report {
	r := Report{Schema: "ratewright/inspect/1", Files: []asapplied.Inspection{}}
	for _, path := range paths {
		in, err := asapplied.InspectFile(path)
		if err != nil {
			r.err, r.unread = errors.Join(r.err, err), append(r.unread, path)
			continue
		}
		r.Files = append(r.Files, in)
	}
	return r
}

// Err joins the errors of files that could not be read at all.
func (r Report) Err() error { return r.err }

// JSON is the summary of the files that could be read.
func (r Report) JSON() ([]byte, error) { return encodeJSON(r) }

// Skeleton is a job file that starts from the files.
func (r Report) Skeleton() string { return asapplied.Skeleton(r.Files, r.unread...) }
