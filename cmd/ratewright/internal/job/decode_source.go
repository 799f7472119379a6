package job

import (
	"fmt"

	"go.yaml.in/yaml/v3"

	"ratewright/geo/unit"
)

func (d decoder) sources(n *yaml.Node) []SourceSpec {
	var list []SourceSpec
	m, _ := d.freeMapping(n, "sources")
	m.each(func(name string, value *yaml.Node) { list = append(list, d.source(name, value)) })
	return list
}

// source reads a source in one of three forms: like another with a density of
// its own, a blend, or its analysis.
func (d decoder) source(name string, n *yaml.Node) SourceSpec {
	s := SourceSpec{Name: name, line: n.Line}
	m, ok := d.mapping(n, "source "+name, "like", "density", "blend", "by", "label", "grade", "nitrogen", "urea", "ammonium", "nitrate")
	if !ok {
		return s
	}
	s.Label, _ = m.text("label")
	s.Grade, _ = m.text("grade")
	s.Like, _ = m.text("like")
	if v, ok := parsed(m, "density", unit.ParseDensity); ok {
		s.Density = &v
	}
	for key, to := range map[string]**float64{"nitrogen": &s.Nitrogen, "urea": &s.Urea, "ammonium": &s.Ammonium, "nitrate": &s.Nitrate} {
		if v, ok := parsed(m, key, unit.ParseFraction); ok {
			*to = &v
		}
	}
	s.ByVolume = m.choice("by", "mass", "volume") == "volume"
	if b, ok := m.node("blend"); ok {
		s.Blend = d.blend(name, b)
		m.require("write `by: volume` or `by: mass`: 50 % by volume is not 50 % by mass", "by")
	}
	d.oneForm(m)
	return s
}

// oneForm refuses keys of two forms side by side.
func (d decoder) oneForm(m mapping) {
	analysis := []string{"nitrogen", "urea", "ammonium", "nitrate"}
	switch {
	case m.has("like") && m.has("blend"):
		d.add(m.line, "keep one of them", "%s has both like and blend", m.name)
	case m.has("like") || m.has("blend"):
		for _, key := range analysis {
			if m.has(key) {
				d.add(m.lineOf(key), "leave it out: it follows from the other source", "%s gives %s beside like or blend", m.name, key)
			}
		}
	default:
		m.require("give the share of nitrogen in the product, such as 32 %, or `like: uan-32`, or a blend", "nitrogen")
	}
	if m.has("by") && !m.has("blend") {
		d.add(m.lineOf("by"), "leave it out", "%s has `by` without a blend", m.name)
	}
}

func (d decoder) blend(name string, n *yaml.Node) []BlendPart {
	var parts []BlendPart
	m, ok := d.freeMapping(n, "source "+name+": blend")
	if !ok {
		return nil
	}
	total := 0.0
	m.each(func(source string, _ *yaml.Node) {
		if share, ok := parsed(m, source, unit.ParseFraction); ok {
			parts = append(parts, BlendPart{source, share})
			total += share
		}
	})
	if len(parts) == len(m.order) && (total < 0.9999 || total > 1.0001) {
		d.add(n.Line, "make the shares add up to 100 %", "source %s: its blend adds up to %s", name, fmt.Sprintf("%.4g %%", total*100))
	}
	return parts
}
