package season

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"ratewright/cmd/ratewright/internal/job"
	"ratewright/cmd/ratewright/internal/outputs"
	"ratewright/cmd/ratewright/page"
	"ratewright/geo/vector"
)

const stampSchema = "ratewright/season-stamp/1"

// stamp stands beside the results of one application. It is written last, in one
// set with them, so that it is never newer than they are.
type stamp struct {
	Schema  string            `json:"schema"`
	Program string            `json:"program"` // SHA-256
	Inputs  map[string]string `json:"inputs"`  // path from the job's folder -> SHA-256; the job is one
	Outputs map[string]string `json:"outputs"` // name -> SHA-256
	Row     Row               `json:"row"`
	Card    page.Card         `json:"card"`             // the results in short, for the page of the season
	Sum     string            `json:"sha256,omitempty"` // of the stamp without it
}

// sum is the SHA-256 of the stamp as it is written, without the sum itself.
func (st stamp) sum() (string, error) {
	st.Sum = ""
	data, err := encode(st)
	return fmt.Sprintf("%x", sha256.Sum256(data)), err
}

// stampName follows the names of the results: with several applications in a job
// each has its own.
func stampName(j job.Job, a job.ApplicationSpec) string {
	if len(j.Applications) < 2 {
		return "season-stamp.json"
	}
	return "season-stamp-" + a.Name + ".json"
}

// inputSums are the sums of all inputs of an application.
func (s *sums) inputs(j job.Job, files []string) (map[string]string, error) {
	list := make(map[string]string, len(files))
	for _, file := range files {
		sum, err := s.of(file)
		if at := (*vector.InputError)(nil); errors.As(err, &at) {
			return nil, err
		}
		if err != nil {
			return nil, unreadable(file, err)
		}
		list[j.FromFolder(file)] = sum
	}
	return list, nil
}

// readStamp returns the stamp of an application; ok is false where there is none
// that this release can use, or where it is not as it was written.
func readStamp(dir, name string) (st stamp, ok bool) {
	data, err := os.ReadFile(filepath.Join(dir, name))
	if err != nil || json.Unmarshal(data, &st) != nil || st.Schema != stampSchema {
		return stamp{}, false
	}
	sum, err := st.sum()
	return st, err == nil && sum == st.Sum
}

// fresh tells whether the results in dir are those of the program and the inputs
// as they are now. Files are looked into only while all else agrees.
func (st *stamp) fresh(s *sums, program, dir string, j job.Job, files []string) bool {
	if st.Program != program || len(st.Inputs) != len(files) {
		return false
	}
	for _, file := range files { // the job file comes first
		want, known := st.Inputs[j.FromFolder(file)]
		if !known {
			return false
		}
		if have, err := s.of(file); err != nil || have != want {
			return false
		}
	}
	for name, want := range st.Outputs {
		have, err := outputs.SumFile(filepath.Join(dir, filepath.FromSlash(name)))
		if err != nil || have != want {
			return false
		}
	}
	return true
}

// stamped makes one set of the sets of an application's steps, the stamp last.
func stamped(sets []outputs.Set, name string, st stamp) outputs.Set {
	var all outputs.Set
	for _, s := range sets {
		all.Files = append(append(all.Files, s.Files...), s.Summary)
		all.Workers = s.Workers
	}
	st.Schema = stampSchema
	all.Summary = outputs.File{Name: name, From: func(sums outputs.Sums) ([]byte, error) {
		st.Outputs = sums.Of(all.Files)
		var err error
		if st.Sum, err = st.sum(); err != nil {
			return nil, err
		}
		return encode(st)
	}}
	return all
}

// encode writes indented JSON; a number that is not finite is an error.
func encode(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	err := enc.Encode(v)
	return b.Bytes(), err
}
