package outputs

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"regexp"
)

const (
	stagingName = ".ratewright-staging"
	lockName    = ".ratewright-lock"
	journalName = "journal.json"
	draftName   = "journal.draft"
	journalForm = "ratewright/journal/1"
)

// journal lists the files of a decided set in the order of their renames. Seal
// is the SHA-256 of the entries, so that a torn journal counts as none.
type journal struct {
	Schema string `json:"schema"`
	Moves  []move `json:"moves"`
	Seal   string `json:"seal"`
}

// move takes one staged file to its place. Without a staged file it removes the
// one in that place if its SHA-256 is the one given.
type move struct {
	Staged string `json:"staged"`
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
}

var stagedName = regexp.MustCompile(`^[0-9]{4}$`)

func seal(moves []move) string {
	var b bytes.Buffer
	for _, m := range moves {
		fmt.Fprintf(&b, "%q %q %q\n", m.Staged, m.Name, m.SHA256)
	}
	return sum(b.Bytes())
}

func (j journal) encode() ([]byte, error) {
	j.Schema, j.Seal = journalForm, seal(j.Moves)
	return json.MarshalIndent(j, "", " ")
}

// readJournal returns the journal of the staging folder; ok is false where there
// is none, or none that is whole, so that nothing has been decided. A whole one
// of another form is an error: a later release wrote it.
func readJournal(sys system, staging string) (j journal, ok bool, err error) {
	data, err := sys.ReadFile(filepath.Join(staging, journalName))
	if errors.Is(err, fs.ErrNotExist) {
		return journal{}, false, nil
	}
	if err != nil {
		return journal{}, false, err
	}
	if json.Unmarshal(data, &j) != nil || j.Seal != seal(j.Moves) {
		return journal{}, false, nil
	}
	if j.Schema != journalForm {
		return journal{}, false, fmt.Errorf("%s: written by another release (%s); finish it with that release, or delete the folder %s and run your commands again", staging, j.Schema, stagingName)
	}
	for _, m := range j.Moves {
		if err := checkName(m.Name); err != nil || m.Staged != "" && !stagedName.MatchString(m.Staged) {
			return journal{}, false, fmt.Errorf("%s: the journal names %q, which is no output file; delete the folder %s and run your commands again", staging, m.Name, stagingName)
		}
	}
	return j, true, nil
}
