package vector

import "fmt"

// properties reads the properties object of a feature.
func (g *geojsonSource) properties(o *jsonObject) error {
	c, err := g.s.next()
	if err != nil {
		return err
	}
	if c == 'n' {
		return g.s.word("null")
	}
	if c != '{' {
		return g.s.fail("the properties are not an object", "write them in braces, or null")
	}
	g.s.pos++
	start := len(g.props)
	for first := true; ; first = false {
		ok, err := g.s.more(first, '}')
		if err != nil {
			return err
		}
		if !ok {
			o.props = g.props[start:]
			return nil
		}
		key, err := g.s.key()
		if err != nil {
			return err
		}
		if len(key) > maxNameSize {
			return g.s.fail(fmt.Sprintf("a property has a name of %d bytes", len(key)), "shorten it")
		}
		var p jsonProperty
		name := g.columns.intern(key, len(g.props)-start)
		if hasProperty(g.props[start:], name) {
			return g.s.fail(fmt.Sprintf("the property %.40q stands twice", name), "keep one")
		}
		if len(g.props)-start >= maxColumns {
			return g.s.fail(fmt.Sprintf("the feature has more than %d properties", maxColumns), "keep those that are needed")
		}
		if err := g.value(name, &p); err != nil {
			return err
		}
		g.props = append(g.props, p)
	}
}

func hasProperty(props []jsonProperty, name string) bool {
	for i := range props {
		if props[i].name == name {
			return true
		}
	}
	return false
}

// value reads one property value and keeps its text.
func (g *geojsonSource) value(name string, p *jsonProperty) error {
	c, err := g.s.next()
	if err != nil {
		return err
	}
	var text []byte
	kind := KindNumber
	switch c {
	case '"':
		kind = KindText
		text, err = g.s.text()
	case '{', '[':
		kind = KindJSON
		text, err = g.s.raw()
	case 't':
		kind, text, err = KindBool, []byte("true"), g.s.word("true")
	case 'f':
		kind, text, err = KindBool, []byte("false"), g.s.word("false")
	case 'n':
		kind, err = KindNull, g.s.word("null")
	default:
		text, err = g.s.number()
	}
	if err != nil {
		return err
	}
	start := len(g.text)
	if start+len(text) > maxTextSize {
		return g.s.fail(fmt.Sprintf("the properties of the feature have more than %d MiB", maxTextSize>>20), "shorten them")
	}
	g.text = append(g.text, text...)
	*p = jsonProperty{name: name, start: start, end: len(g.text), kind: kind}
	return nil
}
