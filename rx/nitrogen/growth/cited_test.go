package growth

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every number of the package that stands outside a function is a constant
// whose comment has a Source:, a Range: and a Unit: line.
func TestConstantsAreCited(t *testing.T) {
	entries, err := os.ReadDir(".")
	require.NoError(t, err)
	cited := 0
	for _, e := range entries {
		if !strings.HasSuffix(e.Name(), ".go") || strings.HasSuffix(e.Name(), "_test.go") {
			continue
		}
		text, err := os.ReadFile(e.Name())
		require.NoError(t, err)
		n, faults := uncited(t, e.Name(), string(text))
		cited += n
		assert.Empty(t, faults)
	}
	assert.GreaterOrEqual(t, cited, 38, "warmth, stages and uptake")
}

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
		_, faults := uncited(t, "x.go", "package x\n"+tt.text)
		assert.Equal(t, tt.faults, faults, tt.text)
	}
}

var citation = map[string]*regexp.Regexp{}

func init() {
	for _, tag := range []string{"Source", "Range", "Unit"} {
		citation[tag] = regexp.MustCompile(`(?m)^` + tag + `: *\S`)
	}
}

// uncited counts the numeric constants at the top of a file that are cited, and
// lists what the others lack.
func uncited(t *testing.T, name, text string) (cited int, faults []string) {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), name, text, parser.ParseComments)
	require.NoError(t, err)
	for _, d := range file.Decls {
		group, ok := d.(*ast.GenDecl)
		if !ok {
			continue
		}
		for _, s := range group.Specs {
			v, ok := s.(*ast.ValueSpec)
			if !ok || !hasNumber(v) {
				continue
			}
			doc := v.Doc
			if !group.Lparen.IsValid() {
				doc = group.Doc
			}
			missing := lacks(group.Tok, v, doc.Text())
			if len(missing) == 0 {
				cited++
			}
			faults = append(faults, missing...)
		}
	}
	return cited, faults
}

func lacks(tok token.Token, v *ast.ValueSpec, doc string) (faults []string) {
	name := v.Names[0].Name
	switch {
	case tok == token.VAR:
		return []string{name + ": a number in a variable; make it a cited constant"}
	case len(v.Names) > 1:
		return []string{name + ": one constant to a comment"}
	}
	for _, tag := range []string{"Source", "Range", "Unit"} {
		if !citation[tag].MatchString(doc) {
			faults = append(faults, fmt.Sprintf("%s: no %s: line", name, tag))
		}
	}
	return faults
}

func hasNumber(v *ast.ValueSpec) (found bool) {
	for _, value := range v.Values {
		ast.Inspect(value, func(n ast.Node) bool {
			lit, ok := n.(*ast.BasicLit)
			found = found || ok && (lit.Kind == token.INT || lit.Kind == token.FLOAT)
			return true
		})
	}
	return found
}
