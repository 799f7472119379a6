package job

import (
	"bytes"
	"encoding/json"
	"strings"
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

// partFiles names the parts of a shapefile; shp is the name of the .shp.
func partFiles(shp string, p vector.Parts) []outputs.File {
	stem := strings.TrimSuffix(shp, ".shp")
	return []outputs.File{
		{Name: stem + ".shp", Data: p.SHP},
		{Name: stem + ".shx", Data: p.SHX},
		{Name: stem + ".dbf", Data: p.DBF},
		{Name: stem + ".prj", Data: p.PRJ},
		{Name: stem + ".cpg", Data: p.CPG},
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
