// Command page compiles the script and the styles of the map page. It stands in a
// module of its own, so that the compiler is no part of the program.
//
//	go run . SOURCES TARGET
//	go run . -tests SOURCES TARGET
//
// The first writes page.js and page.css to TARGET. The second writes the script's
// own tests, one file each, for `node --test`.
package main

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/evanw/esbuild/pkg/api"
)

// maxScript is the most bytes that the script may take in every page.
const maxScript = 80_000

func main() {
	args := os.Args[1:]
	tests := len(args) > 0 && args[0] == "-tests"
	if tests {
		args = args[1:]
	}
	if len(args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: page [-tests] SOURCES TARGET")
		os.Exit(2)
	}
	build := compile
	if tests {
		build = compileTests
	}
	if err := build(args[0], args[1]); err != nil {
		fmt.Fprintln(os.Stderr, "page:", err)
		os.Exit(1)
	}
}

// compile writes page.js and page.css.
func compile(sources, target string) error {
	files, err := run(api.BuildOptions{
		EntryPoints: []string{filepath.Join(sources, "page.ts"), filepath.Join(sources, "page.css")},
		Outdir:      target,
		Bundle:      true,
		// One function around all: the script stands in the page itself and must
		// leave no names there.
		Format:            api.FormatIIFE,
		Target:            api.ES2020,
		MinifyWhitespace:  true,
		MinifyIdentifiers: true,
		MinifySyntax:      true,
		LegalComments:     api.LegalCommentsNone,
		Charset:           api.CharsetASCII,
	})
	if err != nil {
		return err
	}
	for _, f := range files {
		if filepath.Base(f.Path) == "page.js" && len(f.Contents) > maxScript {
			return fmt.Errorf("page.js has %d bytes, more than %d", len(f.Contents), maxScript)
		}
	}
	return write(files)
}

// compileTests writes every *.test.ts with what it imports.
func compileTests(sources, target string) error {
	entries, err := filepath.Glob(filepath.Join(sources, "*.test.ts"))
	if err != nil {
		return err
	}
	if len(entries) == 0 {
		return fmt.Errorf("no tests in %s", sources)
	}
	files, err := run(api.BuildOptions{
		EntryPoints: entries,
		Outdir:      target,
		Bundle:      true,
		Format:      api.FormatESModule,
		Platform:    api.PlatformNode,
		// Node's runner looks for this ending.
		OutExtension: map[string]string{".js": ".mjs"},
	})
	if err != nil {
		return err
	}
	return write(files)
}

func run(o api.BuildOptions) ([]api.OutputFile, error) {
	o.LogLevel = api.LogLevelWarning
	r := api.Build(o)
	if n := len(r.Errors) + len(r.Warnings); n > 0 {
		return nil, fmt.Errorf("%d errors and warnings", n)
	}
	return r.OutputFiles, nil
}

func write(files []api.OutputFile) error {
	for _, f := range files {
		if err := os.MkdirAll(filepath.Dir(f.Path), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(f.Path, f.Contents, 0o644); err != nil {
			return err
		}
	}
	return nil
}
