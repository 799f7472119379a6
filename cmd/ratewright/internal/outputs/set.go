// Package outputs writes a set of result files into a folder whole or not at
// all, and puts right what a killed process left behind.
//
// # How a set is written
//
// Every new file is first written into the hidden folder .ratewright-staging
// inside the output folder and flushed to disk. Then a journal that lists the
// files with their SHA-256 is put there by one rename. From that moment the set
// is decided: each file is moved to its place by a rename, files of the old set
// that the new one lacks are removed, the summary is moved last, and the staging
// folder is removed. A process that dies before the journal exists has changed
// nothing ([Recover] removes the staging folder); one that dies after it has left
// old and new files side by side ([Recover] does the rest). A single file is old
// or new at every moment, because it only ever changes by a rename inside one
// folder tree, or goes.
//
// A file of the old set is one that a summary which the new set replaces lists
// under "files" with its SHA-256. One that was changed since then stays.
//
// A lock that the operating system drops when its process ends keeps two
// commands apart, so a dead process never leaves a lock that must be cleared.
package outputs

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"path"
	"path/filepath"
	"strings"
)

// File is one result: its name relative to the output folder, with slashes, and
// one of three that give its bytes.
type File struct {
	Name string
	Data []byte
	// Write writes the bytes when the file is staged, beside those of other files.
	Write func(w io.Writer) error
	// From makes the bytes of the SHA-256 of the files before it.
	From func(sums Sums) ([]byte, error)
}

// Put writes the bytes of a file that is not made of sums.
func (f File) Put(w io.Writer) error {
	if f.Write != nil {
		return f.Write(w)
	}
	_, err := w.Write(f.Data)
	return err
}

// Sums are the SHA-256 of files in lower-case hex, by name.
type Sums map[string]string

// Of are the sums of some of the files.
func (s Sums) Of(files []File) Sums {
	some := make(Sums, len(files))
	for _, f := range files {
		some[f.Name] = s[f.Name]
	}
	return some
}

// Set is what one command writes: any number of files and the summary that
// holds their SHA-256 and is replaced last.
type Set struct {
	Files   []File
	Summary File
	// Removed, where it is set, is told which files were removed, so that it can be told:
	// they may be the result of another job that wrote there.
	Removed func(names []string)
	// Workers is how many files are made at a time; 0 is one per processor.
	Workers int
}

// Names lists the files of the set in the order in which they are replaced.
func (s Set) Names() []string {
	names := make([]string, 0, len(s.Files)+1)
	for _, f := range s.ordered() {
		names = append(names, f.Name)
	}
	return names
}

func (s Set) ordered() []File {
	return append(append(make([]File, 0, len(s.Files)+1), s.Files...), s.Summary)
}

// check refuses names that leave the folder, meet the hidden files, or would
// overwrite each other on a file system that ignores case.
func (s Set) check() error {
	seen := map[string]string{}
	for _, f := range s.ordered() {
		if err := checkName(f.Name); err != nil {
			return err
		}
		key := strings.ToLower(f.Name)
		if other, ok := seen[key]; ok {
			return fmt.Errorf("two output files share the name %q (%q)", other, f.Name)
		}
		seen[key] = f.Name
	}
	return nil
}

func checkName(name string) error {
	if name == "" || path.Clean(name) != name || strings.Contains(name, `\`) || !filepath.IsLocal(filepath.FromSlash(name)) {
		return fmt.Errorf("output name %q is not a plain path below the output folder", name)
	}
	for _, part := range strings.Split(name, "/") {
		if strings.HasPrefix(part, ".") {
			return fmt.Errorf("output name %q is hidden; such names are kept for the staging folder", name)
		}
	}
	return nil
}

func sum(data []byte) string {
	h := sha256.Sum256(data)
	return hex.EncodeToString(h[:])
}
