package main

import (
	"fmt"
	"path/filepath"
	"sort"
	"strings"

	"ratewright/asapplied"
	"ratewright/cmd/ratewright/internal/outputs"
)

// write replaces a set of outputs and returns its summary. An interrupt waits until
// the set is whole.
func (c *call) write(dir string, set outputs.Set, inputs []string) ([]byte, error) {
	c.writing.RLock()
	defer c.writing.RUnlock()
	if c.ctx.Err() != nil {
		return nil, errInterrupted
	}
	var gone []string
	set.Removed = func(names []string) { gone = names }
	summary, err := outputs.Write(dir, set, inputs)
	if err != nil {
		return nil, err
	}
	if len(gone) > 0 && !c.json {
		c.tell("removed from %s what belonged to the result that was there before: %s; give another folder with -o to keep both",
			dir, strings.Join(gone, ", "))
	}
	return summary, nil
}

// recoverOutputs puts right what a command that died has left in dir.
func (c *call) recoverOutputs(dir string, inputs []string) error {
	c.writing.RLock()
	defer c.writing.RUnlock()
	r, err := outputs.Recover(dir, inputs)
	if err != nil {
		return err
	}
	if !c.json {
		c.tellRecovery(r, dir)
	}
	return nil
}

// tellRecovery says what an earlier command had left in dir.
func (c *call) tellRecovery(r outputs.Recovery, dir string) {
	switch r {
	case outputs.Finished:
		c.tell("an earlier command died while it replaced the files in %s; they are complete now", dir)
	case outputs.Undone:
		c.tell("an earlier command died before it replaced the files in %s; they are as they were", dir)
	case outputs.Clean:
	}
}

// printFiles lists what was written.
func (c *call) printFiles(dir string, set outputs.Set) {
	fmt.Fprintf(c.stdout, "\nFiles in %s\n", asapplied.Shown(dir))
	for _, name := range set.Names() {
		fmt.Fprintf(c.stdout, "  %s\n", asapplied.Shown(filepath.FromSlash(name)))
	}
}

func sortedNames(files map[string][]byte) []string {
	names := make([]string, 0, len(files))
	for name := range files {
		names = append(names, name)
	}
	sort.Strings(names)
	return names
}
