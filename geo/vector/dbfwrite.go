package vector

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"
)

// MaxText is how many bytes a column of text in the table of a shapefile can hold: a
// limit of dBASE III.
const MaxText = 254

// Its other limits.
const (
	dbfMaxFields = 128
	dbfMaxNumber = 18
	dbfMaxName   = 10
)

// Field is one column to be written.
type Field struct {
	Name     string // 1 to 10 characters A-Z, 0-9 or _, the first a letter
	Type     byte   // 'N' for numbers, 'C' for text
	Length   int    // bytes, sign and point included
	Decimals int    // digits behind the point; 0 for text
}

// encodeDBF writes the table of the values of all shapes.
func encodeDBF(fields []Field, shapes []Shape, date time.Time) ([]byte, error) {
	width, err := checkFields(fields)
	if err != nil {
		return nil, fmt.Errorf("write shapefile: %w", err)
	}
	year, month, day := date.Date()
	if year < 1900 || year > 1900+math.MaxUint8 {
		return nil, fmt.Errorf("write shapefile: the year %d does not fit a .dbf; give one from 1900 to 2155", year)
	}
	headSize := dbfHeadSize + dbfColumnSize*len(fields) + 1
	size := int64(headSize) + int64(width)*int64(len(shapes)) + 1
	if size > maxPart {
		return nil, fmt.Errorf("write shapefile: the .dbf would have %d bytes, more than 2 GB; write fewer shapes", size)
	}
	b := make([]byte, 0, size)
	b = append(b, 3, byte(year-1900), byte(month), byte(day))
	b = binary.LittleEndian.AppendUint32(b, uint32(len(shapes)))
	b = binary.LittleEndian.AppendUint16(b, uint16(headSize))
	b = binary.LittleEndian.AppendUint16(b, uint16(width))
	b = append(b, make([]byte, dbfHeadSize-len(b))...) // language driver 0: the .cpg tells
	for _, f := range fields {
		var d [dbfColumnSize]byte
		copy(d[:dbfMaxName], f.Name)
		d[11], d[16], d[17] = f.Type, byte(f.Length), byte(f.Decimals)
		b = append(b, d[:]...)
	}
	b = append(b, '\r')
	for i, s := range shapes {
		if len(s.Values) != len(fields) {
			return nil, fmt.Errorf("write shapefile: shape %d has %d values for %d fields; give one each", i+1, len(s.Values), len(fields))
		}
		b = append(b, dbfLive)
		for k, f := range fields {
			if b, err = f.appendValue(b, s.Values[k]); err != nil {
				return nil, fmt.Errorf("write shapefile: shape %d: field %s: %w", i+1, f.Name, err)
			}
		}
	}
	return append(b, 0x1a), nil
}

// checkFields checks names and widths and returns the width of a row.
func checkFields(fields []Field) (int, error) {
	if len(fields) == 0 || len(fields) > dbfMaxFields {
		return 0, fmt.Errorf("%d fields; give 1 to %d", len(fields), dbfMaxFields)
	}
	seen := map[string]bool{}
	width := 1
	for _, f := range fields {
		if err := f.check(); err != nil {
			return 0, err
		}
		if seen[f.Name] {
			return 0, fmt.Errorf("the field name %s stands twice; rename one", f.Name)
		}
		seen[f.Name] = true
		width += f.Length
	}
	return width, nil
}

func (f Field) check() error {
	ok := len(f.Name) >= 1 && len(f.Name) <= dbfMaxName && f.Name[0] >= 'A' && f.Name[0] <= 'Z'
	for _, c := range f.Name {
		ok = ok && (c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '_')
	}
	switch {
	case !ok:
		return fmt.Errorf("the field name %q; use 1 to %d characters A-Z, 0-9 or _, the first a letter", f.Name, dbfMaxName)
	case f.Type == 'C' && f.Length >= 1 && f.Length <= MaxText && f.Decimals == 0:
		return nil
	case f.Type == 'N' && f.Length >= 1 && f.Length <= dbfMaxNumber && f.Decimals >= 0 && (f.Decimals == 0 || f.Decimals <= f.Length-2):
		return nil
	}
	return fmt.Errorf("field %s: type %q of length %d with %d decimals; use C up to %d without decimals or N up to %d", f.Name, f.Type, f.Length, f.Decimals, MaxText, dbfMaxNumber)
}

// appendValue writes one value in the width of its column: numbers to the right,
// text to the left.
func (f Field) appendValue(b []byte, v any) ([]byte, error) {
	var text string
	var err error
	if f.Type == 'N' {
		text, err = f.number(v)
	} else {
		text, err = f.text(v)
	}
	if err != nil {
		return nil, err
	}
	pad := strings.Repeat(" ", f.Length-len(text))
	if f.Type == 'N' {
		return append(append(b, pad...), text...), nil
	}
	return append(append(b, text...), pad...), nil
}

// number formats any integer or float, a quantity among them. There is no null, no
// NaN and no Inf, for controllers read them as they like.
func (f Field) number(v any) (string, error) {
	var text string
	switch r := reflect.ValueOf(v); {
	case r.IsValid() && r.CanFloat():
		x := r.Float()
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return "", fmt.Errorf("%v is not a number that can be written; give a rate or leave the shape out", x)
		}
		text = string(appendFixed(nil, x, f.Decimals))
	case r.IsValid() && r.CanInt():
		text = strconv.FormatInt(r.Int(), 10)
		if f.Decimals > 0 {
			text += "." + strings.Repeat("0", f.Decimals)
		}
	default:
		return "", fmt.Errorf("%v is not a number; give one", v)
	}
	if len(text) > f.Length {
		return "", fmt.Errorf("%s needs %d characters and the field has %d; widen it", text, len(text), f.Length)
	}
	return text, nil
}

// text checks one text value.
func (f Field) text(v any) (string, error) {
	s, ok := v.(string)
	switch {
	case !ok:
		return "", fmt.Errorf("%v is not text; give a string", v)
	case len(s) > f.Length:
		return "", fmt.Errorf("%.40q has %d bytes and the field %d; shorten it or widen the field", s, len(s), f.Length)
	case !utf8.ValidString(s):
		return "", fmt.Errorf("%.40q is not valid UTF-8; repair it", s)
	case strings.ContainsFunc(s, func(c rune) bool { return c < ' ' || c == 0x7f }):
		return "", fmt.Errorf("%.40q holds a control character; remove it", s)
	case s != "" && strings.Trim(s, "*") == "":
		return "", errors.New("asterisks alone read as no value; write something else")
	}
	return s, nil
}
