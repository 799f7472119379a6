package cited

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The check itself finds what it is there for.
func TestUncitedConstantsAreFound(t *testing.T) {
	const whole = "// a is a share.\n//\n// Source: a book.\n// Range: 1 to 3.\n// Unit: percent.\n"
	tests := []struct {
		text   string
		faults []string
	}{
		{whole + "const a = 2", nil},
		{"const (\n" + whole + "a = 2\n)", nil},
		{"const name = \"x\"", nil},
		{"const (\na T = iota + 1\nb\n)", nil},
		{"func f() { const a = 2 }", nil},
		{"const a = 2", []string{"a: no Source: line", "a: no Range: line", "a: no Unit: line"}},
		{whole + "const (\na = 2\n)", []string{"a: no Source: line", "a: no Range: line", "a: no Unit: line"}},
		{strings.Replace(whole, "Source: a book.", "Source:", 1) + "const a = 2", []string{"a: no Source: line"}},
		{strings.Replace(whole, "Range:", "range", 1) + "const a = 2", []string{"a: no Range: line"}},
		{strings.Replace(whole, "// Unit: percent.\n", "", 1) + "const a = -2.5", []string{"a: no Unit: line"}},
		{whole + "const a, b = 2, 3", []string{"a: one constant to a comment"}},
		{whole + "var a = []float64{2}", []string{"a: a number in a variable; make it a cited constant"}},
	}
	for _, tt := range tests {
		_, faults, err := uncited("x.go", "package x\n"+tt.text)
		assert.NoError(t, err)
		assert.Equal(t, tt.faults, faults, tt.text)
	}
}
