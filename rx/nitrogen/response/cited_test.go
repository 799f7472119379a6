package response

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Every number of the package that stands outside a function is a constant
// whose comment has a Source:, a Range: and a Unit: line; iota lists none.
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
		n, faults := uncited(t, string(text))
		cited += n
		require.Empty(t, faults, e.Name())
	}
	require.GreaterOrEqual(t, cited, 7)
}

// The check itself finds what it is there for.
func TestUncitedConstantsAreFound(t *testing.T) {
	const whole = "// a is a share.\n//\n// Source: a book.\n// Range: 1 to 3.\n// Unit: percent.\n"
	for text, want := range map[string]int{
		whole + "const a = 2": 0,
		"const a = iota + 1":  0,
		"const a = 2":         3,
		strings.Replace(whole, "Range:", "range", 1) + "const a = 2": 1,
		whole + "const a, b = 2, 3":                                  1,
		whole + "var a = []float64{2}":                               1,
	} {
		_, faults := uncited(t, "package x\n"+text)
		require.Len(t, faults, want, text)
	}
}

func uncited(t *testing.T, text string) (cited int, faults []string) {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), "x.go", text, parser.ParseComments)
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
		if !regexp.MustCompile(`(?m)^` + tag + `: *\S`).MatchString(doc) {
			faults = append(faults, name+": no "+tag+": line")
		}
	}
	return faults
}

func hasNumber(v *ast.ValueSpec) (found bool) {
	for _, value := range v.Values {
		iota := false
		ast.Inspect(value, func(n ast.Node) bool {
			id, ok := n.(*ast.Ident)
			iota = iota || ok && id.Name == "iota"
			lit, ok := n.(*ast.BasicLit)
			found = found || ok && (lit.Kind == token.INT || lit.Kind == token.FLOAT)
			return true
		})
		if iota {
			return false
		}
	}
	return found
}
