// Package cited holds constants of agronomy to their citations; for tests alone.
package cited

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strings"
)

// Constants counts the numbers of the package in a folder that stand outside its
// functions and are constants whose comment has a Source:, a Range: and a Unit: line,
// and lists what the others lack.
func Constants(dir string) (cited int, faults []string, err error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return 0, nil, err
	}
	for _, e := range entries {
		if !strings.HasSuffix(e.Name(), ".go") || strings.HasSuffix(e.Name(), "_test.go") {
			continue
		}
		text, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			return 0, nil, err
		}
		n, lacking, err := uncited(e.Name(), string(text))
		if err != nil {
			return 0, nil, err
		}
		cited += n
		faults = append(faults, lacking...)
	}
	return cited, faults, nil
}

var citation = map[string]*regexp.Regexp{}

func init() {
	for _, tag := range []string{"Source", "Range", "Unit"} {
		citation[tag] = regexp.MustCompile(`(?m)^` + tag + `: *\S`)
	}
}

// uncited counts the numeric constants at the top of a file that are cited, and
// lists what the others lack.
func uncited(name, text string) (cited int, faults []string, err error) {
	file, err := parser.ParseFile(token.NewFileSet(), name, text, parser.ParseComments)
	if err != nil {
		return 0, nil, err
	}
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
	return cited, faults, nil
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
		number, counts := false, false
		ast.Inspect(value, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.BasicLit:
				number = number || n.Kind == token.INT || n.Kind == token.FLOAT
			case *ast.Ident:
				counts = counts || n.Name == "iota" // names of an enumeration
			}
			return true
		})
		found = found || number && !counts
	}
	return found
}
