package job

import (
	"regexp"
	"slices"

	"go.yaml.in/yaml/v3"

	"ratewright/asapplied"
	"ratewright/rx/soil"
)

// fieldKey finds the key that every job has in a file that is not YAML.
var fieldKey = regexp.MustCompile(`(?m)^["']?field["']?[ \t]*:`)

// IsJob tells whether the bytes of a YAML file are meant as a job: its top level
// has the key field. A file that is not YAML counts by the look of its lines, so
// that a job with a slip in it is not passed over.
func IsJob(data []byte) bool {
	var doc yaml.Node
	if err := yaml.Unmarshal(data, &doc); err != nil {
		return fieldKey.Match(data)
	}
	if len(doc.Content) == 0 || doc.Content[0].Kind != yaml.MappingNode {
		return false
	}
	pairs := doc.Content[0].Content
	for i := 0; i < len(pairs); i += 2 {
		if pairs[i].Value == "field" {
			return true
		}
	}
	return false
}

// Asks says what an application asks for: a rate map where it has a rate and the
// job has zones, a reconciliation where it has logs.
func (j Job) Asks(a ApplicationSpec) (prescribe, reconcile bool) {
	return a.Rate != nil && j.Zones != nil, len(a.Logs) > 0
}

// Inputs lists the files that the results of an application come from, siblings
// of shapefiles and the job file included, each once.
func (j Job) Inputs(a ApplicationSpec) []string { return j.named([]ApplicationSpec{a}) }

// named lists the files that the job names for some of its applications,
// siblings of shapefiles and the job file included, each once.
func (j Job) named(applications []ApplicationSpec) []string {
	files := append([]string{j.Path, j.Field.Boundary}, j.Field.Exclude...)
	for _, s := range j.Field.Setbacks {
		files = append(files, s.Around)
	}
	if j.Zones != nil {
		samples := j.Zones.Samples
		if j.Zones.Cluster != nil {
			samples = append(slices.Clone(samples), j.Zones.Cluster.Layers...)
		}
		for _, s := range samples {
			files = append(files, s.File)
		}
		for _, i := range j.Zones.Images {
			files = append(files, i.File, i.Counts.File)
		}
		for _, l := range append([]LayerSpec{j.Zones.LayerSpec}, j.Zones.Layers...) {
			if l.File == "" {
				continue
			}
			files = append(files, l.File)
			if l.Soil == nil {
				continue
			}
			if tables, err := soil.Files(l.Soil.Tables); err == nil { // else opening says so
				files = append(files, tables...)
			}
		}
	}
	files = append(files, j.Target.files()...)
	if j.Weather != nil {
		files = append(files, j.Weather.File)
	}
	for _, a := range applications {
		if a.Prescription != nil {
			files = append(files, a.Prescription.File)
		}
		files = append(files, a.Rate.files()...)
		for _, l := range a.Logs {
			files = append(files, l.Files...)
		}
	}
	var all []string
	for _, f := range unique(files) {
		all = append(all, withSiblings(f)...)
	}
	return unique(all)
}

// LogSpecs says how each log of an application is read.
func (j Job) LogSpecs(a ApplicationSpec) ([]asapplied.LogSpec, error) {
	source, err := j.source(a)
	if err != nil {
		return nil, err
	}
	var list []asapplied.LogSpec
	for _, spec := range a.Logs {
		ask, err := j.logSpec(spec, source)
		if err != nil {
			return nil, err
		}
		list = append(list, ask)
	}
	return list, nil
}
