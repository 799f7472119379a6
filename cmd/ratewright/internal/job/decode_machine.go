package job

import (
	"fmt"
	"math"
	"strconv"

	"go.yaml.in/yaml/v3"

	"ratewright/geo/unit"
)

// maxSections is above every machine; more is a slip of the pen.
const maxSections = 512

func (d decoder) machines(n *yaml.Node) []MachineSpec {
	var list []MachineSpec
	m, _ := d.freeMapping(n, "machines")
	m.each(func(name string, value *yaml.Node) { list = append(list, d.machine(name, value)) })
	return list
}

func (d decoder) machine(name string, n *yaml.Node) MachineSpec {
	spec := MachineSpec{Name: name}
	m, ok := d.mapping(n, "machine "+name, "width", "sections", "bar", "lag")
	if !ok {
		return spec
	}
	width, ok := parsed(m, "width", unit.ParseLength)
	spec.Width = width
	if ok && width <= 0 {
		d.add(m.lineOf("width"), "give the working width, such as 60 ft", "machine %s: its width must be above zero", name)
	}
	d.sections(m, &spec)
	spec.Lag = parsedOr(m, "lag", unit.ParseDuration, 0)
	if n, ok := m.node("bar"); ok {
		if bar, ok := d.mapping(n, "machine "+name+": bar", "behind", "right"); ok {
			spec.Behind = parsedOr(bar, "behind", unit.ParseLength, 0)
			spec.Right = parsedOr(bar, "right", unit.ParseLength, 0)
		}
	}
	return spec
}

// sections reads a number of equal sections, or the width of each. A list gives
// the width of a machine that has none, and must agree with one that has.
func (d decoder) sections(m mapping, spec *MachineSpec) {
	n, ok := m.node("sections")
	if !ok {
		return
	}
	if n.Kind == yaml.SequenceNode {
		spec.SectionWidths = d.sectionList(m, n, &spec.Width)
		return
	}
	text, ok := m.text("sections")
	if !ok {
		return
	}
	count, err := strconv.Atoi(text)
	if err != nil || count < 1 || count > maxSections {
		d.add(n.Line, "give how many equal sections the bar has, or a list of their widths such as [10 ft, 20 ft]", "%s: sections %q is not a number from 1 to %d", m.name, text, maxSections)
		return
	}
	spec.SectionCount = count
}

func (d decoder) sectionList(m mapping, n *yaml.Node, width *unit.Length) []unit.Length {
	var list []unit.Length
	total := unit.Length(0)
	for i, item := range n.Content {
		text, ok := m.scalar(item, fmt.Sprintf("section %d", i+1))
		if !ok {
			return nil
		}
		w, err := unit.ParseLength(text)
		if err == nil && w <= 0 {
			err = fmt.Errorf("a section must be wider than zero")
		}
		if err != nil {
			d.add(item.Line, "", "%s: section %d: %v", m.name, i+1, err)
			return nil
		}
		list, total = append(list, w), total+w
	}
	if len(list) == 0 || len(list) > maxSections {
		d.add(n.Line, "list the width of each, left to right", "%s: %d sections are listed; a bar has 1 to %d", m.name, len(list), maxSections)
		return nil
	}
	if !m.has("width") {
		*width = total
	}
	if diff := math.Abs((total - *width).Metres()); diff > 0.01 {
		d.add(n.Line, "correct the widths, or leave `width` out", "%s: its sections add up to %s, its width is %s", m.name, total, *width)
	}
	return list
}
