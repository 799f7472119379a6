package job

import (
	"bytes"
	"encoding/hex"
	"fmt"
	"path/filepath"
	"runtime/debug"
	"sync"

	"ratewright/cmd/ratewright/internal/outputs"
	"ratewright/cmd/ratewright/page"
	"ratewright/geo/vector"
)

// drawing is a result drawn.
type drawing struct {
	page []outputs.File // one, or none where none is wanted
	png  []byte
	card page.Card
}

// draw makes the page of a name, and the picture where it is asked for. An error
// names the file that the result came from.
func (h How) draw(s page.Sheet, file, name string, withPage bool) (drawing, error) {
	var d drawing
	if withPage {
		html, err := s.HTML()
		if err != nil {
			return d, unwritable(file, "the page of it", err)
		}
		d.page = []outputs.File{{Name: name, Data: html}}
		if _, err := outputs.Sums(d.page); err != nil {
			return d, err
		}
	}
	if h.Card {
		d.card = s.Card()
		if withPage {
			d.card.Page = name
		}
	}
	if h.PNG {
		var b bytes.Buffer
		if err := s.PNG(&b); err != nil {
			return d, err
		}
		d.png = b.Bytes()
	}
	return d, nil
}

// draws tells whether there is anything to draw.
func (h How) draws(withPage bool) bool { return withPage || h.PNG || h.Card }

// beside runs two parts of the work side by side, or one after the other where only
// one processor may be used. A panic in either is one of the caller.
func (h How) beside(f, g func() error) error {
	if h.Workers == 1 {
		if err := f(); err != nil {
			return err
		}
		return g()
	}
	done := make(chan struct{})
	var fErr error
	var fault any
	go func() {
		defer close(done)
		defer func() {
			if r := recover(); r != nil {
				fault = fmt.Sprintf("%v\n%s", r, debug.Stack())
			}
		}()
		fErr = f()
	}()
	gErr := g()
	<-done
	if fault != nil {
		panic(fault)
	}
	if fErr != nil {
		return fErr
	}
	return gErr
}

// FromFolder is an input's path from the folder of the job, with slashes: the same
// wherever the folder is moved to.
func (j Job) FromFolder(file string) string {
	rel, err := filepath.Rel(filepath.Dir(j.Path), file)
	if err != nil {
		rel = file // one of the two is absolute
	}
	return filepath.ToSlash(rel)
}

// sums begins to take the SHA-256 of inputs, where they will be needed, and returns
// how to wait for them.
func (j Job) sums(files []string, how How, needed bool) func() ([]page.Input, error) {
	sum := how.Sum
	if sum == nil {
		sum = func(file string) (string, error) {
			s, err := sumOf(file)
			return hex.EncodeToString(s[:]), err
		}
	}
	take := sync.OnceValues(func() ([]page.Input, error) {
		list := make([]page.Input, 0, len(files))
		for _, file := range files {
			s, err := sum(file)
			if err != nil {
				return nil, &vector.InputError{File: file, What: "cannot be read: " + plainError(err), Fix: "check its name in the job; it is relative to the job file"}
			}
			list = append(list, page.Input{Name: j.FromFolder(file), SHA256: s})
		}
		return list, nil
	})
	if needed && how.Workers != 1 {
		go func() { _, _ = take() }() // while the inputs are read
	}
	return take
}
