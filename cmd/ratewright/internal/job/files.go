package job

import (
	"bytes"
	"encoding/json"
	"io"
	"strings"
	"sync"
	"time"

	"ratewright/cmd/ratewright/internal/outputs"
	"ratewright/geo/vector"
)

// fileName puts the application's name into a file name where the job has
// several: reconcile.json or reconcile-sidedress.json.
func (j Job) fileName(base string, a *ApplicationSpec) string {
	if len(j.Applications) < 2 {
		return base
	}
	stem, ext, _ := strings.Cut(base, ".")
	return stem + "-" + a.Name + "." + ext
}

// partFiles are the parts of a shapefile, which is encoded when the first of them
// is written; shp is the name of the .shp.
func partFiles(shp string, encode func() (vector.Parts, error)) []outputs.File {
	stem := strings.TrimSuffix(shp, ".shp")
	encode = sync.OnceValues(encode)
	part := func(ending string, of func(p vector.Parts) []byte) outputs.File {
		return outputs.File{Name: stem + ending, Write: func(w io.Writer) error {
			p, err := encode()
			if err != nil {
				return err
			}
			_, err = w.Write(of(p))
			return err
		}}
	}
	return []outputs.File{
		part(".shp", func(p vector.Parts) []byte { return p.SHP }),
		part(".shx", func(p vector.Parts) []byte { return p.SHX }),
		part(".dbf", func(p vector.Parts) []byte { return p.DBF }),
		part(".prj", func(p vector.Parts) []byte { return p.PRJ }),
		part(".cpg", func(p vector.Parts) []byte { return p.CPG }),
	}
}

// tableDate is the date that the table of a shapefile carries: that of the
// application, so that the same job gives the same bytes on every day.
func tableDate(a *ApplicationSpec) time.Time {
	if t, err := time.Parse(time.DateOnly, a.Date); err == nil {
		return t
	}
	return time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
}

// encodeJSON writes indented JSON; a number that is not finite is an error.
func encodeJSON(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	err := enc.Encode(v)
	return b.Bytes(), err
}

// unique keeps the first of equal notes.
func unique(notes []string) []string {
	seen := map[string]bool{}
	out := []string{}
	for _, n := range notes {
		if !seen[n] {
			seen[n] = true
			out = append(out, n)
		}
	}
	return out
}
