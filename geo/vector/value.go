package vector

import (
	"bytes"
	"encoding/json"
	"math"
	"strconv"
)

// Kind says how the file wrote a value.
type Kind uint8

// The kinds of a value. A JSON string and a dBASE character column are KindText
// even where they spell a number.
const (
	KindNull   Kind = iota // no value
	KindText               // text
	KindNumber             // a number
	KindBool               // a logical value
	KindJSON               // a JSON array or object, kept as its text
)

// Value is one attribute value with the text that the file has for it. The zero
// value is null.
type Value struct {
	text string
	kind Kind
}

// NewText returns the text s as a value.
func NewText(s string) Value { return Value{text: s, kind: KindText} }

// NewNumber returns f as a value in its shortest decimal form; null where f is
// not finite.
func NewNumber(f float64) Value {
	if math.IsNaN(f) || math.IsInf(f, 0) {
		return Value{}
	}
	return Value{text: strconv.FormatFloat(f, 'f', -1, 64), kind: KindNumber}
}

// Kind returns how the file wrote the value.
func (v Value) Kind() Kind { return v.kind }

// IsNull reports whether the file has no value here.
func (v Value) IsNull() bool { return v.kind == KindNull }

// String returns the text of the file; "" for null.
func (v Value) String() string { return v.text }

// Number returns the value as a number. Text that spells a plain decimal number
// counts; null, logical values and everything else give false. The number is
// always finite.
func (v Value) Number() (float64, bool) {
	if v.kind != KindNumber && v.kind != KindText {
		return 0, false
	}
	return parseDecimal(v.text)
}

// MarshalJSON writes the value as JSON: a number as the file spelled it where
// that is valid JSON.
func (v Value) MarshalJSON() ([]byte, error) {
	switch v.kind {
	case KindNull:
		return []byte("null"), nil
	case KindJSON:
		return []byte(v.text), nil
	case KindBool:
		return strconv.AppendBool(nil, isTrue(v.text)), nil
	case KindNumber:
		if json.Valid([]byte(v.text)) {
			return []byte(v.text), nil
		}
		f, ok := parseDecimal(v.text)
		if !ok {
			return []byte("null"), nil
		}
		return strconv.AppendFloat(nil, f, 'f', -1, 64), nil
	}
	return marshalPlain(v.text)
}

// isTrue reads the logical letters of dBASE and the words of JSON.
func isTrue(s string) bool {
	return s == "true" || s == "T" || s == "t" || s == "Y" || s == "y"
}

// marshalPlain is json.Marshal without the escapes meant for web pages.
func marshalPlain(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), nil
}
