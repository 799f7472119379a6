package main

import (
	"os"
	"path/filepath"
	"strings"
)

// spread puts the files that a pattern such as fields/*/job.yaml stands for in its
// place: the shells of Windows leave that to the program. A word that names a file, or
// a pattern that fits none, stays as it is.
func spread(words []string) []string {
	var out []string
	for _, word := range words {
		if _, err := os.Lstat(word); err != nil && strings.ContainsAny(word, "*?") {
			if names, err := filepath.Glob(word); err == nil && len(names) > 0 {
				out = append(out, names...)
				continue
			}
		}
		out = append(out, word)
	}
	return out
}
