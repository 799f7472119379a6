package job

import (
	"fmt"
	"sort"
	"strings"
	"unicode"

	"go.yaml.in/yaml/v3"
)

// mapping is one YAML mapping whose keys are all known. name says what it
// describes, for messages.
type mapping struct {
	*faults
	name   string
	line   int
	values map[string]*yaml.Node
	order  []string
}

// freeMapping reads a mapping whose keys the user chooses. Keys given twice and
// nodes of another kind are reported; ok is false where there is no mapping.
func (f *faults) freeMapping(n *yaml.Node, name string) (m mapping, ok bool) {
	n = target(n)
	m = mapping{faults: f, name: name, line: n.Line, values: map[string]*yaml.Node{}}
	if n.Kind != yaml.MappingNode {
		f.add(n.Line, "write it as `key: value` lines below it", "%s is %s where keys with values belong", name, kindOf(n))
		return m, false
	}
	lines := map[string]int{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := target(n.Content[i]), n.Content[i+1]
		switch first, twice := lines[key.Value]; {
		case key.Kind != yaml.ScalarNode || key.Tag == "!!merge":
			f.add(key.Line, "write each key out", "%s has a key that is not a plain word", name)
		case twice:
			f.add(key.Line, "keep one of the two", "%s gives %q twice, first in line %d", name, key.Value, first)
		default:
			lines[key.Value] = key.Line
			m.values[key.Value] = value
			m.order = append(m.order, key.Value)
		}
	}
	return m, true
}

// mapping reads a mapping with known keys and reports every other one.
func (f *faults) mapping(n *yaml.Node, name string, known ...string) (mapping, bool) {
	f.keys = append(f.keys, keyTable{name, known})
	m, ok := f.freeMapping(n, name)
	for _, key := range m.order {
		if !contains(known, key) {
			f.unknown(keyLine(n, key), name, "key", key, known)
			f.list[len(f.list)-1].stray = stray{key, keyTable{name, known}}
			delete(m.values, key)
		}
	}
	return m, ok
}

// unknown reports a word that is not one of the known ones.
func (f *faults) unknown(line int, name, what, word string, known []string) {
	fix := fmt.Sprintf("did you mean %q? known here: %s", nearest(word, known), strings.Join(known, ", "))
	f.add(line, fix, "unknown %s %q in %s", what, word, name)
}

// keyTable is what a mapping of the job knows.
type keyTable struct {
	name  string
	known []string
}

// stray is a key that its mapping does not know; empty for another fault.
type stray struct {
	key string
	in  keyTable
}

// place says of a stray key, as it is written, where in this job it is known: the
// outermost place, which is read first. A slip of one letter is more likely than that.
func (f *faults) place(s stray) (fix string) {
	if s.key == "" || edits(plain(s.key), plain(nearest(s.key, s.in.known))) < 2 {
		return ""
	}
	for _, k := range f.keys {
		switch {
		case !contains(k.known, s.key):
		case k.name == theJob:
			return fmt.Sprintf("%s belongs at the top of the job; known here: %s", s.key, strings.Join(s.in.known, ", "))
		default:
			return fmt.Sprintf("%s is a key of %s; known here: %s", s.key, k.name, strings.Join(s.in.known, ", "))
		}
	}
	return ""
}

func keyLine(n *yaml.Node, key string) int {
	n = target(n)
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			return n.Content[i].Line
		}
	}
	return n.Line
}

func contains(list []string, s string) bool {
	for _, have := range list {
		if have == s {
			return true
		}
	}
	return false
}

// target follows an alias to what it stands for.
func target(n *yaml.Node) *yaml.Node {
	if n.Kind == yaml.AliasNode && n.Alias != nil {
		return n.Alias
	}
	return n
}

func kindOf(n *yaml.Node) string {
	switch {
	case n.Kind == yaml.MappingNode:
		return "a set of keys"
	case n.Kind == yaml.SequenceNode:
		return "a list"
	case isNull(n):
		return "empty"
	default:
		return fmt.Sprintf("the single value %q", cutTo(n.Value, valueMost))
	}
}

// valueMost is how many characters of a value an error repeats: a file that is no job
// can be one value altogether.
const valueMost = 60

func isNull(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Tag == "!!null"
}

// has reports whether the key is given, with or without a value.
func (m mapping) has(key string) bool {
	_, ok := m.values[key]
	return ok
}

// node returns the value of a key that is given and not empty. An empty value is
// reported: it is more often a slip than a wish.
func (m mapping) node(key string) (*yaml.Node, bool) {
	n, ok := m.values[key]
	if !ok {
		return nil, false
	}
	n = target(n)
	if isNull(n) || n.Kind == yaml.ScalarNode && strings.TrimSpace(n.Value) == "" {
		m.add(n.Line, "give it a value, or leave the key out", "%s: %s is empty", m.name, key)
		return nil, false
	}
	return n, true
}

// lineOf is the line of a key's value, or that of the mapping.
func (m mapping) lineOf(key string) int {
	if n, ok := m.values[key]; ok {
		return n.Line
	}
	return m.line
}

// require reports the keys that are missing.
func (m mapping) require(fix string, keys ...string) {
	for _, key := range keys {
		if !m.has(key) {
			m.add(m.line, fix, "%s has no %s", m.name, key)
		}
	}
}

// text returns a single value as it is written.
func (m mapping) text(key string) (string, bool) {
	n, ok := m.node(key)
	if !ok {
		return "", false
	}
	return m.scalar(n, key)
}

func (m mapping) scalar(n *yaml.Node, key string) (string, bool) {
	n = target(n)
	if n.Kind != yaml.ScalarNode || isNull(n) {
		m.add(n.Line, "write one value", "%s: %s is %s where a single value belongs", m.name, key, kindOf(n))
		return "", false
	}
	if i := strings.IndexFunc(n.Value, unprintable); i >= 0 {
		fix := "write it in letters, digits and marks on one line"
		if n.Style == yaml.DoubleQuotedStyle {
			fix = backslashes
		}
		m.add(n.Line, fix, "%s: %s holds a character that cannot be printed", m.name, key)
		return "", false
	}
	return strings.TrimSpace(n.Value), true
}

// unprintable tells characters that would do something to a terminal or a file
// name instead of standing in it.
func unprintable(r rune) bool { return unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) }

// texts returns a list of single values, or one value as a list of one.
func (m mapping) texts(key string) []string {
	n, ok := m.node(key)
	if !ok {
		return nil
	}
	items := []*yaml.Node{n}
	if n.Kind == yaml.SequenceNode {
		items = n.Content
	}
	var list []string
	for _, item := range items {
		if s, ok := m.scalar(item, key); ok {
			list = append(list, s)
		}
	}
	if len(items) == 0 {
		m.add(n.Line, "name at least one, or leave the key out", "%s: %s is an empty list", m.name, key)
	}
	return list
}

// list calls do for every item of a list.
func (m mapping) list(key string, do func(i int, item *yaml.Node)) {
	n, ok := m.node(key)
	if !ok {
		return
	}
	if n.Kind != yaml.SequenceNode {
		m.add(n.Line, "start each item with a dash", "%s: %s is %s where a list belongs", m.name, key, kindOf(n))
		return
	}
	for i, item := range n.Content {
		do(i, item)
	}
}

// each calls do for every key of a mapping, in the order of the file.
func (m mapping) each(do func(key string, value *yaml.Node)) {
	for _, key := range m.order {
		if value, ok := m.values[key]; ok {
			do(key, target(value))
		}
	}
}

// choice returns one of the known words, or the first where the key is absent.
func (m mapping) choice(key string, known ...string) string {
	s, ok := m.text(key)
	if !ok {
		return known[0]
	}
	if !contains(known, s) {
		m.unknown(m.lineOf(key), m.name+": "+key, "word", s, known)
		return known[0]
	}
	return s
}

// yes tells whether a key says yes; absent it is no.
func (m mapping) yes(key string) bool { return m.choice(key, "no", "yes", "false", "true") >= "t" }

// parsed reads a value with a parser whose error names what fits.
func parsed[T any](m mapping, key string, parse func(string) (T, error)) (value T, ok bool) {
	s, ok := m.text(key)
	if !ok {
		return value, false
	}
	value, err := parse(s)
	if err != nil {
		m.add(m.lineOf(key), "", "%s: %s: %v", m.name, key, err)
		return value, false
	}
	return value, true
}

// parsedOr is parsed with a value for the absent key.
func parsedOr[T any](m mapping, key string, parse func(string) (T, error), absent T) T {
	if v, ok := parsed(m, key, parse); ok {
		return v
	}
	return absent
}

// parsedAt is parsed with a place for the value; nil where the key is absent, so that a zero
// that is given is one.
func parsedAt[T any](m mapping, key string, parse func(string) (T, error)) *T {
	if v, ok := parsed(m, key, parse); ok {
		return &v
	}
	return nil
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}
