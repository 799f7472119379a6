package vector

import "bytes"

// LearnColumns makes [Reader.Header] name all columns before the features are
// read. Only GeoJSON needs it, where any feature can bring a new property: the
// file is passed over once for the names alone. What is wrong with it is left for
// Read to say, which knows the place.
func (r *Reader) LearnColumns() {
	if _, ok := r.src.(*geojsonSource); !ok || r.err != nil {
		return // known, or read to the end already
	}
	f, err := openFile(r.head.Path)
	if err != nil {
		return
	}
	defer f.Close() // only read from
	l := learner{s: newJSONScanner(r.head.Path, f), columns: &r.columns}
	_ = l.file() // see above
}

// learner collects the names of properties. A file that is one feature needs none:
// Open has read it.
type learner struct {
	s       *jsonScanner
	columns *columnSet
}

// file reads the names of the file.
func (l *learner) file() error {
	if err := startJSON(l.s); err != nil {
		return err
	}
	return l.members(func(name []byte) error {
		if string(name) == "features" {
			return l.features()
		}
		return l.s.pass()
	})
}

// members calls what for each member of an object whose brace was taken.
func (l *learner) members(what func(name []byte) error) error {
	for first := true; ; first = false {
		ok, err := l.s.more(first, '}')
		if err != nil || !ok {
			return err
		}
		name, err := l.s.plainKey()
		if err != nil {
			return err
		}
		if err := what(name); err != nil {
			return err
		}
	}
}

func (l *learner) features() error {
	if err := l.s.take('['); err != nil {
		return err
	}
	for first := true; ; first = false {
		ok, err := l.s.more(first, ']')
		if err != nil || !ok {
			return err
		}
		if err := l.feature(); err != nil {
			return err
		}
	}
}

// feature learns the properties of one feature, and then its id, which stands
// behind them as an attribute.
func (l *learner) feature() error {
	if err := l.s.take('{'); err != nil {
		return err
	}
	id := false
	err := l.members(func(name []byte) error {
		isID := string(name) == "id"
		if string(name) != "properties" && !isID {
			return l.s.pass()
		}
		c, err := l.s.next()
		switch {
		case err != nil:
			return err
		case isID:
			id = c != 'n'
		case c == '{':
			l.s.pos++
			return l.properties()
		}
		return l.s.pass()
	})
	if id {
		l.columns.learn([]byte("id"), -1)
	}
	return err
}

func (l *learner) properties() error {
	i := 0
	return l.members(func(name []byte) error {
		l.columns.learn(name, i)
		i++
		return l.s.pass()
	})
}

// learn adds a column by its name alone, which may be that of column guess. Names
// that are not allowed are passed over; reading the feature refuses them.
func (c *columnSet) learn(name []byte, guess int) {
	if guess >= 0 && guess < len(c.columns) && c.columns[guess].Name == string(name) {
		return
	}
	if _, known := c.index[string(name)]; known || len(c.columns) == maxColumns || len(name) > maxNameSize {
		return
	}
	c.add(string(name))
}

// pass steps over one value by its quotes and brackets alone, which takes a
// fraction of the time of judging it.
func (s *jsonScanner) pass() error {
	depth := 0
	for {
		c, err := s.next()
		if err != nil {
			return err
		}
		switch c {
		case '"':
			if err := s.passText(); err != nil {
				return err
			}
		case '{', '[':
			depth++
			s.pos++
			continue
		case '}', ']':
			if depth == 0 {
				return s.fail("no value stands here", "repair the JSON")
			}
			depth--
			s.pos++
		default:
			s.passScalar()
		}
		if depth == 0 {
			return nil
		}
	}
}

// closesValue holds the bytes that end a number or a word, or begin what pass has
// to look at.
var closesValue = [256]bool{',': true, ']': true, '}': true, '[': true, '{': true, '"': true}

// passScalar steps over a number or a word, or over what parts it from the value
// before.
func (s *jsonScanner) passScalar() {
	s.pos++
	for s.pos < s.end || s.fill() {
		for i, c := range s.buf[s.pos:s.end] {
			if closesValue[c] {
				s.pos += i
				return
			}
		}
		s.pos = s.end
	}
}

// plainKey is key, quick for a name without escapes that lies in the window.
func (s *jsonScanner) plainKey() ([]byte, error) {
	if rest := s.buf[s.pos:s.end]; len(rest) > 0 && rest[0] == '"' {
		n := bytes.IndexByte(rest[1:], '"')
		if n >= 0 && n+2 < len(rest) && rest[n+2] == ':' && bytes.IndexByte(rest[1:n+1], '\\') < 0 {
			s.pos += n + 3
			return rest[1 : n+1], nil
		}
	}
	return s.key()
}

// passText steps over a text.
func (s *jsonScanner) passText() error {
	s.pos++
	for s.pos < s.end || s.fill() {
		rest := s.buf[s.pos:s.end]
		quote := bytes.IndexByte(rest, '"')
		if quote >= 0 {
			rest = rest[:quote]
		}
		escape := bytes.IndexByte(rest, '\\')
		switch {
		case escape >= 0:
			s.pos += escape + 1
			if s.pos == s.end && !s.fill() {
				return s.ended()
			}
			s.pos++
		case quote >= 0:
			s.pos += quote + 1
			return nil
		default:
			s.pos = s.end
		}
	}
	return s.ended()
}
