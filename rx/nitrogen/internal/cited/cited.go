// Package cited holds constants of agronomy to their citations; for tests alone.
package cited

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

// Check demands that every number of the package in the present folder that stands
// outside a function is a constant whose comment has a Source:, a Range: and a Unit:
// line, and that there are at least so many.
func Check(t *testing.T, least int) {
	t.Helper()
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
	assert.GreaterOrEqual(t, cited, least)
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
