package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// floors is policy: a package imports packages of lower floors only. Change the
// design, not the table.
var floors = map[string]int{
	"geo/unit":       0,
	"geo/parallel":   0,
	"geo/crs":        1,
	"geo":            2,
	"geo/cover":      3,
	"geo/vector":     3,
	"geo/raster":     4,
	"rx/nitrogen":    4,
	"rx/weather":     4,
	"rx/soil":        4,
	"rx/surface":     4,
	"rx/cluster":     4,
	"rx/allot":       4,
	"rx":             5,
	"rx/residue":     5,
	"rx/rates":       6,
	"rx/plan":        6,
	"rx/layers":      6,
	"rx/course":      7,
	"asapplied":      6,
	"cmd/ratewright": 10,

	"rx/nitrogen/budget":      4,
	"rx/nitrogen/growth":      4,
	"rx/nitrogen/guard":       6,
	"rx/nitrogen/response":    4,
	"rx/nitrogen/starter":     4,
	"rx/nitrogen/coefficient": 3,
	"rx/nitrogen/water":       4,
	"rx/nitrogen/loss":        5,

	"cmd/ratewright/page":             7,
	"cmd/ratewright/internal/outputs": 7,
	"cmd/ratewright/internal/demo":    7,
	"cmd/ratewright/internal/job":     8,
	"cmd/ratewright/internal/season":  9,

	"geo/cover/slow":     4,
	"asapplied/fieldlog": 4,

	"rx/internal/boxes":  3,
	"rx/internal/pieces": 4,
	"rx/internal/cited":  3,
}

// forTests are packages that only tests import: oracles and made-up data.
var forTests = []string{"geo/cover/slow", "asapplied/fieldlog", "rx/internal/cited"}

// doors are the packages through which a module of somebody else may enter. The
// empty list stands for tests alone.
var doors = map[string][]string{
	"github.com/peterstace/simplefeatures": {"geo"},
	"gonum.org/v1/gonum":                   {"rx/nitrogen", "rx/nitrogen/response", "rx/residue", "rx/surface", "asapplied"},
	"go.yaml.in/yaml/v3":                   {"cmd/ratewright/internal/job"},
	"github.com/paulmach/orb": {
		"geo", "geo/cover", "geo/cover/slow", "geo/vector", "geo/raster", "rx", "rx/surface", "rx/internal/boxes", "rx/layers", "rx/cluster", "asapplied", "asapplied/fieldlog",
		"cmd/ratewright/internal/job", "cmd/ratewright/internal/demo", "cmd/ratewright/page",
	},
	"golang.org/x/image":              {"cmd/ratewright/page", "geo/raster"},
	"github.com/sourcegraph/conc":     {"geo/parallel"},
	"github.com/chromedp/cdproto":     {},
	"github.com/chromedp/chromedp":    {},
	"github.com/jonas-p/go-shp":       {},
	"github.com/rogpeppe/go-internal": {},
	"github.com/stretchr/testify":     {},
	"pgregory.net/rapid":              {},
}

// source is one Go file of the project.
type source struct {
	pkg, file string // relative to the root, with slashes
	test      bool
	tree      *ast.File
}

func sources(t *testing.T) []source {
	t.Helper()
	root := projectRoot(t)
	var list []source
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && path != root && (strings.HasPrefix(d.Name(), ".") || d.Name() == "testdata") {
			return filepath.SkipDir
		}
		if d.IsDir() || filepath.Ext(path) != ".go" {
			return nil
		}
		tree, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, path)
		rel = filepath.ToSlash(rel)
		list = append(list, source{filepath.ToSlash(filepath.Dir(rel)), rel, strings.HasSuffix(rel, "_test.go"), tree})
		return err
	})
	require.NoError(t, err)
	require.Greater(t, len(list), 50, "the walk has missed the project")
	return list
}

func projectRoot(t *testing.T) string {
	t.Helper()
	dir, err := os.Getwd()
	require.NoError(t, err)
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		up := filepath.Dir(dir)
		require.NotEqual(t, dir, up, "no go.mod above the test")
		dir = up
	}
}

// importFault says what is wrong with an import, or nothing.
func importFault(pkg, path string, test bool) string {
	if inner, ok := strings.CutPrefix(path, "ratewright/"); ok {
		from, known := floors[pkg]
		to, knownTo := floors[inner]
		switch {
		case slices.Contains(forTests, inner) && !test:
			return pkg + " imports " + inner + ", which is for tests alone"
		case slices.Contains(forTests, inner) && strings.HasPrefix(inner, pkg+"/"):
			return "" // by an external test of the package above it
		case !known:
			return pkg + " is on no floor; add it to the table"
		case !knownTo:
			return inner + " is on no floor; add it to the table"
		case pkg != inner && to >= from:
			return pkg + " imports " + inner + ", which is not below it"
		}
		return ""
	}
	if first, _, _ := strings.Cut(path, "/"); !strings.Contains(first, ".") {
		return "" // the standard library
	}
	for module, allowed := range doors {
		if path == module || strings.HasPrefix(path, module+"/") {
			if test || slices.Contains(allowed, pkg) {
				return ""
			}
			return pkg + " imports " + path + ", which enters elsewhere"
		}
	}
	return pkg + " imports " + path + ", which has no door; record the reason in DEVELOPERS.md and add one"
}

func TestImportsOnlyPointDown(t *testing.T) {
	for _, s := range sources(t) {
		for _, spec := range s.tree.Imports {
			path, err := strconv.Unquote(spec.Path.Value)
			require.NoError(t, err)
			if fault := importFault(s.pkg, path, s.test); fault != "" {
				t.Errorf("%s: %s", s.file, fault)
			}
		}
	}
}

func TestTheImportTableRefuses(t *testing.T) {
	for _, c := range []struct {
		pkg, path string
		test      bool
	}{
		{"geo", "ratewright/geo/vector", false},
		{"geo/vector", "ratewright/geo/cover", false},
		{"rx", "ratewright/asapplied", true},
		{"geo/new", "ratewright/geo", false},
		{"asapplied", "ratewright/geo/cover/slow", false},
		{"geo/cover", "ratewright/geo/cover/slow", false},
		{"geo", "ratewright/geo/new", false},
		{"rx", "github.com/peterstace/simplefeatures/geom", false},
		{"geo/vector", "github.com/jonas-p/go-shp", false},
		{"geo", "example.com/other", true},
	} {
		assert.NotEmpty(t, importFault(c.pkg, c.path, c.test), "%s imports %s", c.pkg, c.path)
	}
	assert.Empty(t, importFault("geo", "ratewright/geo/crs", false))
	assert.Empty(t, importFault("geo/cover", "ratewright/geo/cover/slow", true))
	assert.Empty(t, importFault("geo/vector", "github.com/jonas-p/go-shp", true))
}

// forbidden are calls that a library never makes: it does not print, log, exit
// or read the clock.
var forbidden = map[string][]string{
	"fmt":  {"Print", "Println", "Printf"},
	"os":   {"Exit", "Stdout", "Stderr"},
	"time": {"Now", "Since", "Until"},
}

func TestLibrariesNeverPrintLogExitOrReadTheClock(t *testing.T) {
	for _, s := range sources(t) {
		if s.test || strings.HasPrefix(s.pkg, "cmd/") {
			continue
		}
		for _, spec := range s.tree.Imports {
			assert.NotContains(t, []string{`"log"`, `"log/slog"`}, spec.Path.Value, s.file)
		}
		ast.Inspect(s.tree, func(n ast.Node) bool {
			sel, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if id, ok := sel.X.(*ast.Ident); ok && slices.Contains(forbidden[id.Name], sel.Sel.Name) {
				t.Errorf("%s uses %s.%s", s.file, id.Name, sel.Sel.Name)
			}
			return true
		})
	}
}
