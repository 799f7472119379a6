package job

import (
	"fmt"

	"ratewright/geo/vector"
	"ratewright/rx/nitrogen"
)

// source returns the source of an application: one of the job, or a known one.
// A name under `sources:` goes first. An application without one has the zero
// source, which serves for logs that need no conversion.
func (j Job) source(a ApplicationSpec) (nitrogen.Source, error) {
	own := map[string]nitrogen.Source{}
	for _, spec := range j.Sources {
		s, err := spec.make(own)
		if err != nil {
			return nitrogen.Source{}, j.fault(spec.line, err.Error(), "")
		}
		own[spec.Name] = s
	}
	if a.Source == "" {
		return nitrogen.Source{}, nil
	}
	s, ok := find(a.Source, own)
	if !ok {
		return nitrogen.Source{}, j.fault(a.sourceLine, fmt.Sprintf("unknown source %q", a.Source), adviseSource(a.Source, own))
	}
	return s, nil
}

// sourceNames are the names by which sources are known, those of the job first.
func (j Job) sourceNames() []string {
	var names []string
	for _, s := range j.Sources {
		names = append(names, s.Name)
	}
	return append(names, nitrogen.Names()...)
}

// plainSource is the one name of a source that may be written in several ways; false
// where it is none.
func (j Job) plainSource(name string) (string, bool) {
	for _, s := range j.Sources {
		if s.Name == name {
			return name, true
		}
	}
	s, ok := nitrogen.Known(name)
	return s.Name, ok
}

// fault is an error at a line of the job file.
func (j Job) fault(line int, what, fix string) error {
	return &vector.InputError{File: j.Path, Place: fmt.Sprintf("line %d", line), What: what, Fix: fix}
}

func find(name string, own map[string]nitrogen.Source) (nitrogen.Source, bool) {
	if s, ok := own[name]; ok {
		return s, true
	}
	return nitrogen.Known(name)
}

func adviseSource(name string, own map[string]nitrogen.Source) string {
	names := append(sortedKeys(own), nitrogen.Names()...)
	return fmt.Sprintf("did you mean %q? or define it under `sources:`", nearest(name, names))
}

// make builds the source; own holds those defined above it.
func (s SourceSpec) make(own map[string]nitrogen.Source) (nitrogen.Source, error) {
	out, err := s.base(own)
	if err == nil && s.Density != nil && (s.Like != "" || s.Blend != nil) {
		out, err = out.WithDensity(*s.Density)
	}
	if err != nil {
		return nitrogen.Source{}, fmt.Errorf("source %s: %w", s.Name, err)
	}
	out.Name = s.Name
	if s.Label != "" {
		out.Label = s.Label
	}
	if s.Grade != "" {
		out.Grade = s.Grade
	}
	return out, nil
}

func (s SourceSpec) base(own map[string]nitrogen.Source) (nitrogen.Source, error) {
	switch {
	case s.Like != "":
		like, ok := find(s.Like, own)
		if !ok {
			return nitrogen.Source{}, fmt.Errorf("it is like %q, which is not known above it; %s", s.Like, adviseSource(s.Like, own))
		}
		return like, nil
	case s.Blend != nil:
		parts := make([]nitrogen.Part, len(s.Blend))
		for i, p := range s.Blend {
			part, ok := find(p.Source, own)
			if !ok {
				return nitrogen.Source{}, fmt.Errorf("its part %q is not known above it; %s", p.Source, adviseSource(p.Source, own))
			}
			parts[i] = nitrogen.Part{Source: part, Share: p.Share}
		}
		return nitrogen.Blend(s.Name, parts, s.ByVolume)
	default:
		return nitrogen.Define(s.analysis())
	}
}

func (s SourceSpec) analysis() nitrogen.Source {
	percent := func(share *float64) float64 {
		if share == nil {
			return 0
		}
		return *share * 100
	}
	out := nitrogen.Source{
		Name: s.Name, Label: s.Name, PercentN: percent(s.Nitrogen),
		UreaN: percent(s.Urea), AmmoniumN: percent(s.Ammonium), NitrateN: percent(s.Nitrate),
	}
	if s.Density != nil {
		out.Density, out.HasDensity = *s.Density, true
	}
	return out
}
