package vector

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"slices"
	"strings"
)

const (
	dbfHeadSize   = 32
	dbfColumnSize = 32
	dbfLive       = ' '
	dbfDeleted    = '*'
	dbfBlock      = 16 << 10 // bytes of rows turned into text at a time
)

// dbfColumn is one column that is read.
type dbfColumn struct {
	name          string
	kind          byte // C, N, F, L or D
	offset, width int  // in a row, its deletion mark included
	decimals      int
	unread        bool // its values are not asked for
}

// dbfTable reads the rows of a dBASE III table one by one.
type dbfTable struct {
	s       *stream
	columns []dbfColumn
	rows    int // by the header
	row     int // rows read
	width   int // of a row
	page    codePage
	doubted bool
	notes   []string

	block  string // rows that are text already
	ascii  bool   // the block has no letter beyond ASCII
	values []Attribute
}

// newDBF reads and checks the header of a table. Nothing in it is believed before
// it fits the size of the file.
func newDBF(s *stream) (*dbfTable, error) {
	t := &dbfTable{s: s}
	if s.size < dbfHeadSize+1 {
		return nil, t.bad(fmt.Sprintf("the file has %d bytes, and a header alone has more", s.size), "copy or export it again")
	}
	b, err := s.window(dbfHeadSize)
	if err != nil {
		return nil, err
	}
	version := b[0]
	rows := int64(binary.LittleEndian.Uint32(b[4:]))
	headSize := int64(binary.LittleEndian.Uint16(b[8:]))
	t.width = int(binary.LittleEndian.Uint16(b[10:]))
	t.page = pageOfDriver(b[29])
	switch {
	case version&7 != 3:
		return nil, t.bad(fmt.Sprintf("the first byte is %#x, and a dBASE III table begins with 0x03", version), "export it again as dBASE III")
	case headSize < dbfHeadSize+1 || headSize > s.size:
		return nil, t.bad(fmt.Sprintf("the header is given as %d bytes and the file has %d", headSize, s.size), "copy or export it again")
	case t.width < 1:
		return nil, t.bad("a row is given as no bytes", "copy or export it again")
	case headSize+rows*int64(t.width) > s.size:
		return nil, t.bad(fmt.Sprintf("the header says %d rows of %d bytes and the file has %d bytes", rows, t.width, s.size), "copy or export it again")
	}
	t.rows = int(rows)
	head, err := s.window(int(headSize - dbfHeadSize))
	if err != nil {
		return nil, err
	}
	if err := t.readColumns(head); err != nil {
		return nil, err
	}
	return t, nil
}

func (t *dbfTable) bad(what, fix string) error {
	return &InputError{File: t.s.name, Place: "header", What: what, Fix: fix}
}

// readColumns reads the column descriptors up to their end mark.
func (t *dbfTable) readColumns(head []byte) error {
	end := 0
	for end < len(head) && head[end] != '\r' {
		end += dbfColumnSize
	}
	if end >= len(head) {
		return t.bad("the columns have no end mark", "copy or export it again")
	}
	widths := columnWidths(head[:end], t.width)
	if widths == nil {
		return t.bad(fmt.Sprintf("the widths of its columns do not add up to rows of %d bytes", t.width), "copy or export it again")
	}
	offset := 1
	for i, width := range widths {
		b := head[i*dbfColumnSize:]
		name, _ := t.page.decode(string(untilNUL(b[:11])), true)
		c := dbfColumn{name: strings.TrimSpace(name), kind: b[11], offset: offset, width: width, decimals: int(b[17])}
		offset += width
		switch {
		case c.name == "":
			return t.bad(fmt.Sprintf("column %d has no name", i+1), "copy or export it again")
		case !strings.ContainsRune("CNFLD", rune(c.kind)):
			t.notes = append(t.notes, fmt.Sprintf("%s: column %s has the type %q, which is not read", t.s.name, c.name, c.kind))
			continue
		case slices.ContainsFunc(t.columns, func(o dbfColumn) bool { return o.name == c.name }):
			t.notes = append(t.notes, fmt.Sprintf("%s: column %s stands twice; the first is used", t.s.name, c.name))
			continue
		}
		if c.kind != 'N' && c.kind != 'F' {
			c.decimals = 0
		}
		t.columns = append(t.columns, c)
	}
	return nil
}

// columnWidths returns the width of each column, nil where they do not add up to
// the row. Some writers put the high byte of a long text column where numbers have
// their decimals.
func columnWidths(head []byte, row int) []int {
	for _, long := range []bool{false, true} {
		var widths []int
		sum := 1
		for ; len(head) >= (len(widths)+1)*dbfColumnSize; sum += widths[len(widths)-1] {
			b := head[len(widths)*dbfColumnSize:]
			w := int(b[16])
			if long && b[11] == 'C' {
				w += int(b[17]) << 8
			}
			widths = append(widths, w)
		}
		if sum == row {
			if widths == nil {
				widths = []int{}
			}
			return widths
		}
	}
	return nil
}

func untilNUL(b []byte) []byte {
	if i := bytes.IndexByte(b, 0); i >= 0 {
		return b[:i]
	}
	return b
}

// mismatch says that there are not as many rows as shapes.
func (t *dbfTable) mismatch(shapes int) error {
	rows := fmt.Sprintf("%d rows and the .shp %d shapes", t.rows, shapes)
	if shapes > t.rows {
		rows = fmt.Sprintf("%d rows and the .shp more shapes", t.rows)
	}
	return &InputError{File: t.s.name, What: "it has " + rows + ", and row belongs to shape by number", Fix: "export the layer again"}
}

// next reads one row, into room where it has enough; deleted rows give no
// attributes.
func (t *dbfTable) next(room []Attribute) (attributes []Attribute, deleted bool, err error) {
	if t.row == t.rows {
		return nil, false, t.mismatch(t.rows + 1)
	}
	if t.block == "" {
		if err := t.fill(); err != nil {
			return nil, false, err
		}
	}
	t.row++
	text := t.block[:t.width]
	t.block = t.block[t.width:]
	switch text[0] {
	case dbfDeleted:
		return nil, true, nil
	case dbfLive:
	default:
		return nil, false, &InputError{
			File: t.s.name, Place: fmt.Sprintf("row %d", t.row),
			What: fmt.Sprintf("it begins with %q, neither a blank nor the mark of a deleted row", text[0]), Fix: "copy or export it again",
		}
	}
	attributes = t.room(room)
	for i := range t.columns {
		c, a := &t.columns[i], &attributes[i]
		if a.Name != c.name { // which it mostly has from the row before
			a.Name = c.name
		}
		if c.unread {
			a.Value = Value{}
			continue
		}
		a.Value = t.value(c, text[c.offset:c.offset+c.width])
	}
	return attributes, false, nil
}

// room returns memory for the attributes of a row: what is given where that is
// enough, else a part of a block for many rows.
func (t *dbfTable) room(given []Attribute) []Attribute {
	n := len(t.columns)
	if cap(given) >= n {
		return given[:n]
	}
	if len(t.values) < n {
		t.values = make([]Attribute, n*max(1, 256/n))
	}
	given = t.values[:n:n]
	t.values = t.values[n:]
	return given
}

// fill turns the next rows into text, all at once.
func (t *dbfTable) fill() error {
	n := min(max(1, dbfBlock/t.width), t.rows-t.row)
	b, err := t.s.window(n * t.width)
	if err != nil {
		return err
	}
	t.block = string(b)
	t.ascii = isASCII(t.block)
	return nil
}

// value reads one value of a row.
func (t *dbfTable) value(c *dbfColumn, s string) Value {
	if c.kind == 'N' || c.kind == 'F' {
		if number, ok := plainNumber(s); ok {
			return Value{number, KindNumber}
		}
	}
	return t.anyValue(c, s)
}

// plainNumber returns the digits, with sign and point, that a field has between
// blanks, up to a NUL. It is false for all that takes a closer look: an exponent,
// stars, nothing at all. A numeric field has at most 255 digits, which a float64
// holds.
func plainNumber(s string) (string, bool) {
	i := 0
	for i < len(s) && s[i] == ' ' {
		i++
	}
	from := i
	if i < len(s) && (s[i] == '-' || s[i] == '+') {
		i++
	}
	digits, point := 0, false
	for ; i < len(s); i++ {
		if s[i]-'0' <= 9 {
			digits++
			continue
		}
		if s[i] != '.' || point {
			break
		}
		point = true
	}
	to := i
	for i < len(s) && s[i] == ' ' {
		i++
	}
	return s[from:to], digits > 0 && (i == len(s) || s[i] == 0)
}

// anyValue reads one value of a row, whatever its column has.
func (t *dbfTable) anyValue(c *dbfColumn, s string) Value {
	if i := strings.IndexByte(s, 0); i >= 0 {
		s = s[:i]
	}
	for len(s) > 0 && s[len(s)-1] == ' ' {
		s = s[:len(s)-1]
	}
	if c.kind != 'C' {
		for len(s) > 0 && s[0] == ' ' {
			s = s[1:]
		}
	}
	if s == "" || s[0] == '*' && strings.Trim(s, "*") == "" {
		return Value{}
	}
	switch c.kind {
	case 'N', 'F':
		if _, ok := parseDecimal(s); ok {
			return Value{s, KindNumber}
		}
	case 'L':
		if s == "?" {
			return Value{}
		}
		if strings.Contains("TtYyFfNn", s) && len(s) == 1 {
			return Value{s, KindBool}
		}
	case 'D':
		if s == "00000000" {
			return Value{}
		}
	}
	if !t.ascii {
		s = t.letters(s, len(s) == c.width)
	}
	return Value{s, KindText}
}

// letters turns text beyond ASCII into UTF-8.
func (t *dbfTable) letters(s string, full bool) string {
	text, doubt := t.page.decode(s, full)
	if doubt && !isASCII(s) && !t.doubted {
		t.doubted = true
		t.notes = append(t.notes, doubtNote(t.s.name))
	}
	return text
}

// isASCII reports whether text has no letter beyond ASCII. It looks at eight bytes
// at a time, for it sees every byte of a table.
func isASCII(s string) bool {
	var high uint64
	i := 0
	for ; i+8 <= len(s); i += 8 {
		high |= uint64(s[i]) | uint64(s[i+1])<<8 | uint64(s[i+2])<<16 | uint64(s[i+3])<<24 |
			uint64(s[i+4])<<32 | uint64(s[i+5])<<40 | uint64(s[i+6])<<48 | uint64(s[i+7])<<56
	}
	for ; i < len(s); i++ {
		high |= uint64(s[i])
	}
	return high&0x8080808080808080 == 0
}
