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
// its bytes. A large one may be given by what writes it, always the same bytes, so
// that it need not be held in memory.
type File struct {
	Name  string
	Data  []byte
	Write func(w io.Writer) error // in place of Data
	// SHA256 is that of the bytes where it is known already, else empty.
	SHA256 string
}

// sum returns the SHA-256 of the file in lower-case hex.
func (f File) sum() (string, error) {
	if f.SHA256 != "" {
		return f.SHA256, nil
	}
	if f.Write == nil {
		return sum(f.Data), nil
	}
	h := sha256.New()
	if err := f.Write(h); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// Set is what one command writes: any number of files and the summary that
// holds their SHA-256 and is replaced last.
type Set struct {
	Files   []File
	Summary File
}

// Sums returns the SHA-256 of each file in lower-case hex, by name, and notes it
// in the file.
func Sums(files []File) (map[string]string, error) {
	sums := make(map[string]string, len(files))
	for i := range files {
		s, err := files[i].sum()
		if err != nil {
			return nil, err
		}
		sums[files[i].Name], files[i].SHA256 = s, s
	}
	return sums, nil
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
