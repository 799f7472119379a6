package vector

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestNumberOfText(t *testing.T) {
	for text, want := range map[string]float64{
		"180": 180, "-2.50": -2.5, " 7 ": 7, "+3": 3, ".5": 0.5, "5.": 5, "1e3": 1000, "1.5E-2": 0.015,
		"007": 7, "0": 0, "0.1": 0.1, "123456789012345678901234567890": 123456789012345678901234567890,
		"0.000000000000000000000001": 1e-24, "9007199254740993": 9007199254740992,
	} {
		got, ok := NewText(text).Number()
		assert.True(t, ok, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{
		"", " ", "-", ".", "e5", "1e", "1,5", "1 2", "0x10", "1_000", "NaN", "Inf", "-inf", "1e999", "12 lb", "1.2.3", "--1", "\t1",
	} {
		_, ok := NewText(text).Number()
		assert.False(t, ok, text)
	}
	_, ok := Value{}.Number()
	assert.False(t, ok)
	_, ok = Value{"1", KindBool}.Number()
	assert.False(t, ok)
}

// The fast way to read a decimal gives what strconv gives, to the last bit.
func TestParseDecimalIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`-?[0-9]{1,18}(\.[0-9]{0,18})?`).Draw(t, "s")
		want, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		got, ok := parseDecimal(s)
		require.True(t, ok)
		require.Equal(t, math.Float64bits(want), math.Float64bits(got), s)
	})
}

func TestValueAsJSON(t *testing.T) {
	for want, v := range map[string]Value{
		`180.50`: {"180.50", KindNumber}, `0.5`: {".5", KindNumber}, `null`: {}, `"a<b"`: NewText("a<b"),
		`true`: {"T", KindBool}, `false`: {"N", KindBool}, `[1,2]`: {"[1,2]", KindJSON}, `2.25`: NewNumber(2.25),
	} {
		got, err := v.MarshalJSON()
		require.NoError(t, err)
		assert.Equal(t, want, string(got))
		assert.True(t, json.Valid(got))
	}
	assert.True(t, NewNumber(math.NaN()).IsNull())
	assert.True(t, NewNumber(math.Inf(-1)).IsNull())
}

func TestGetPrefersTheExactName(t *testing.T) {
	f := Feature{Attributes: []Attribute{{"zone", NewText("a")}, {"ZONE", NewText("b")}}}
	for name, want := range map[string]string{"ZONE": "b", "zone": "a", "Zone": "a"} {
		v, ok := f.Get(name)
		assert.True(t, ok)
		assert.Equal(t, want, v.String())
	}
	_, ok := f.Get("rate")
	assert.False(t, ok)
}

func TestInputErrorReads(t *testing.T) {
	e := &InputError{"zones.shp", "record 7", "ring 2 is not closed", "close it by repeating its first point"}
	assert.Equal(t, "zones.shp: record 7: ring 2 is not closed; close it by repeating its first point", e.Error())
	assert.Equal(t, "a.json: the file is empty", (&InputError{File: "a.json", What: "the file is empty"}).Error())
}

func TestUnescapeAgreesWithTheStandardLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`([a-z\x{e9}\x{1F33D}]|\\["\\/bfnrtu]|\\u[0-9a-fA-F]{4}|\\ud83c\\udf3d){0,8}`).Draw(t, "s")
		var want string
		err := json.Unmarshal([]byte(`"`+s+`"`), &want)
		got, ok := unescape(nil, []byte(s))
		require.Equal(t, err == nil, ok, s)
		if ok {
			require.Equal(t, want, string(got))
		}
	})
}

func TestJSONNumberAgreesWithTheStandardLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`[-+]?[0-9]{0,3}\.?[0-9]{0,2}([eE][-+]?[0-9]{0,2})?`).Draw(t, "s")
		require.Equal(t, s != "" && json.Valid([]byte(s)), isJSONNumber([]byte(s)), s)
	})
}

func TestColumnsOf(t *testing.T) {
	var c columnSet
	require.Nil(t, c.note([]Attribute{{"n", NewNumber(1.25)}, {"t", NewText("x")}, {"late", Value{}}}))
	require.Nil(t, c.note([]Attribute{{"t", Value{}}, {"n", Value{"1e-3", KindNumber}}, {"late", NewNumber(4)}}))
	assert.Equal(t, []Column{{"n", true, 2}, {"t", false, 0}, {"late", true, 0}}, c.columns)
	many := make([]Attribute, maxColumns)
	for i := range many {
		many[i].Name = strings.Repeat("x", i+2)
	}
	assert.NotNil(t, c.note(many))
}
