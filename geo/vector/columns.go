package vector

import (
	"fmt"
	"strings"
)

// columnSet learns the columns of a file whose features need not all have the
// same ones.
type columnSet struct {
	columns []Column
	text    []bool // a value was neither number nor null
	index   map[string]int
}

// intern returns name as a string, without allocating where column guess has it.
func (c *columnSet) intern(name []byte, guess int) string {
	if guess < len(c.columns) && c.columns[guess].Name == string(name) {
		return c.columns[guess].Name
	}
	if i, ok := c.index[string(name)]; ok {
		return c.columns[i].Name
	}
	return string(name)
}

// note adds the attributes of one feature to what is known of the columns.
func (c *columnSet) note(attributes []Attribute) *fault {
	for i, a := range attributes {
		if i >= len(c.columns) || c.columns[i].Name != a.Name {
			at, ok := c.index[a.Name]
			if !ok {
				if len(c.columns) == maxColumns {
					return &fault{fmt.Sprintf("the features have more than %d different properties", maxColumns), "keep those that are needed"}
				}
				at = c.add(a.Name)
			}
			i = at
		}
		switch a.Value.kind {
		case KindNull:
			continue
		case KindNumber:
			c.columns[i].Decimals = max(c.columns[i].Decimals, decimalsOf(a.Value.text))
		default:
			c.text[i] = true
		}
		c.columns[i].Numeric = !c.text[i]
	}
	return nil
}

func (c *columnSet) add(name string) int {
	if c.index == nil {
		c.index = map[string]int{}
	}
	i := len(c.columns)
	c.index[name] = i
	c.columns = append(c.columns, Column{Name: name})
	c.text = append(c.text, false)
	return i
}

// decimalsOf counts the digits behind the point of a number's text.
func decimalsOf(s string) int {
	_, frac, ok := strings.Cut(s, ".")
	if !ok {
		return 0
	}
	if i := strings.IndexAny(frac, "eE"); i >= 0 {
		frac = frac[:i]
	}
	return len(frac)
}
