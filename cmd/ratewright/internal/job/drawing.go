package job

import (
	"encoding/hex"
	"io"
	"path/filepath"
	"sync"

	"ratewright/cmd/ratewright/internal/outputs"
	"ratewright/cmd/ratewright/page"
	"ratewright/geo/vector"
)

// drawing is how a result is drawn: when it is written, but for the card.
type drawing struct {
	page    []outputs.File // one, or none where none is wanted
	picture func(w io.Writer) error
	card    page.Card
}

// draw makes the page of a name, and the picture where it is asked for. An error
// names the file that the result came from.
func (h How) draw(sheet func() (page.Sheet, error), file, name string, withPage bool) (drawing, error) {
	var d drawing
	if !h.draws(withPage) {
		return d, nil
	}
	sheet = sync.OnceValues(sheet)
	if withPage {
		d.page = []outputs.File{{Name: name, Write: func(w io.Writer) error {
			s, err := sheet()
			if err != nil {
				return err
			}
			html, err := s.HTML()
			if err != nil {
				return unwritable(file, "the page of it", err)
			}
			_, err = w.Write(html)
			return err
		}}}
	}
	if h.PNG {
		d.picture = func(w io.Writer) error {
			s, err := sheet()
			if err != nil {
				return err
			}
			return s.PNG(w)
		}
	}
	if h.Card {
		s, err := sheet()
		if err != nil {
			return d, err
		}
		d.card = s.Card()
		if withPage {
			d.card.Page = name
		}
	}
	return d, nil
}

// draws tells whether there is anything to draw.
func (h How) draws(withPage bool) bool { return withPage || h.PNG || h.Card }

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
				return nil, &vector.InputError{File: file, What: "cannot be read: " + plainError(err), Fix: vector.Remedy(err, "check its name in the job; it is relative to the job file")}
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
