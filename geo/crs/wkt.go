package crs

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// Bounds of what is taken for well-known text, against damaged files.
const (
	maxWKTBytes = 1 << 16
	maxWKTDepth = 16
)

// node is one element of well-known text: NAME["text",1.5,CHILD[...],WORD].
type node struct {
	name  string // upper case
	texts []string
	nums  []float64
	words []string // bare words, upper case
	kids  []*node
}

// kid returns the first child with one of the names.
func (n *node) kid(names ...string) *node {
	for _, k := range n.kids {
		for _, name := range names {
			if k.name == name {
				return k
			}
		}
	}
	return nil
}

// text returns the first quoted text, or "".
func (n *node) text() string {
	if len(n.texts) == 0 {
		return ""
	}
	return n.texts[0]
}

// scanner reads well-known text (OGC 01-009, ISO 19162) from the left.
type scanner struct {
	s  string
	at int
}

func (p *scanner) fail(what string) error {
	return fmt.Errorf("well-known text: %s at byte %d", what, p.at+1)
}

// peek skips white space and returns the next byte, 0 at the end.
func (p *scanner) peek() byte {
	for p.at < len(p.s) && strings.IndexByte(" \t\r\n\x00", p.s[p.at]) >= 0 {
		p.at++
	}
	if p.at == len(p.s) {
		return 0
	}
	return p.s[p.at]
}

// parseTree reads the first element; what follows it may only be further
// elements (a vertical system that some writers append).
func parseTree(s string) (*node, error) {
	if len(s) > maxWKTBytes {
		return nil, fmt.Errorf("well-known text of %d bytes; at most %d are read", len(s), maxWKTBytes)
	}
	p := &scanner{s: strings.TrimPrefix(s, "\ufeff")}
	if p.peek() == 0 {
		return nil, errors.New("well-known text is empty")
	}
	root, err := p.element(0)
	if err != nil {
		return nil, err
	}
	for p.peek() == ',' {
		p.at++
		if _, err := p.element(0); err != nil {
			return nil, err
		}
	}
	if p.peek() != 0 {
		return nil, p.fail("unexpected text after the definition")
	}
	return root, nil
}

func isWordByte(c byte) bool {
	return c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '_'
}

func (p *scanner) word() string {
	from := p.at
	for p.at < len(p.s) && isWordByte(p.s[p.at]) {
		p.at++
	}
	return strings.ToUpper(p.s[from:p.at])
}

// element reads NAME[...] or NAME(...).
func (p *scanner) element(depth int) (*node, error) {
	if depth > maxWKTDepth {
		return nil, p.fail("elements nested too deeply")
	}
	p.peek()
	n := &node{name: p.word()}
	if n.name == "" {
		return nil, p.fail("a keyword is missing")
	}
	var end byte
	switch p.peek() {
	case '[':
		end = ']'
	case '(':
		end = ')'
	default:
		return nil, p.fail(n.name + " has no opening bracket")
	}
	p.at++
	for {
		if err := p.value(n, depth); err != nil {
			return nil, err
		}
		switch p.peek() {
		case ',':
			p.at++
		case end:
			p.at++
			return n, nil
		default:
			return nil, p.fail("a comma or closing bracket of " + n.name + " is missing")
		}
	}
}

// value reads one quoted text, number, bare word or child into n.
func (p *scanner) value(n *node, depth int) error {
	c := p.peek()
	switch {
	case c == '"':
		t, err := p.quoted()
		n.texts = append(n.texts, t)
		return err
	case c >= '0' && c <= '9' || c == '-' || c == '+' || c == '.':
		v, err := p.number()
		n.nums = append(n.nums, v)
		return err
	}
	from := p.at
	w := p.word()
	if w == "" {
		return p.fail("a value of " + n.name + " is missing")
	}
	if c := p.peek(); c != '[' && c != '(' {
		n.words = append(n.words, w)
		return nil
	}
	p.at = from
	k, err := p.element(depth + 1)
	n.kids = append(n.kids, k)
	return err
}

// quoted reads "text", in which "" stands for a quote.
func (p *scanner) quoted() (string, error) {
	var b strings.Builder
	for i := p.at + 1; i < len(p.s); i++ {
		if p.s[i] != '"' {
			b.WriteByte(p.s[i])
			continue
		}
		if i+1 < len(p.s) && p.s[i+1] == '"' {
			b.WriteByte('"')
			i++
			continue
		}
		p.at = i + 1
		return b.String(), nil
	}
	return "", p.fail("a quoted text does not end")
}

func (p *scanner) number() (float64, error) {
	from := p.at
	for p.at < len(p.s) && (isWordByte(p.s[p.at]) || strings.IndexByte("+-.", p.s[p.at]) >= 0) {
		p.at++
	}
	v, err := strconv.ParseFloat(p.s[from:p.at], 64)
	if err != nil {
		p.at = from
		return 0, p.fail("a number is not readable")
	}
	return v, nil
}
