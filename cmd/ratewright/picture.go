package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"ratewright/asapplied"
	"ratewright/cmd/ratewright/internal/outputs"
)

// writeResults replaces the outputs of a step and then the picture where one was
// asked for. A picture that may not be written stops both. It returns the summary.
func (c *call) writeResults(dir string, set outputs.Set, inputs []string, png string, picture func(w io.Writer) error) ([]byte, error) {
	if png == "" {
		return c.write(dir, set, inputs)
	}
	if err := refusePicture(png, dir, set, inputs); err != nil {
		return nil, err
	}
	summary, err := c.write(dir, set, inputs)
	if err != nil {
		return nil, err
	}
	one := outputs.Set{Summary: outputs.File{Name: filepath.Base(png), Write: picture}}
	if _, err := c.write(filepath.Dir(png), one, inputs); err != nil {
		return nil, fmt.Errorf("the results are in %s, but the picture is not written: %w", dir, err)
	}
	return summary, nil
}

// refusePicture finds out before anything is written whether the picture would
// take the place of an input, of a folder, or of another output.
func refusePicture(png, dir string, set outputs.Set, inputs []string) error {
	for _, name := range set.Names() {
		if samePath(png, filepath.Join(dir, filepath.FromSlash(name))) {
			return fmt.Errorf("%s: --png names another output of this command; choose another name", png)
		}
	}
	have, err := os.Stat(png)
	if err != nil {
		return nil // it is not there; what else is wrong shows when it is written
	}
	if have.IsDir() {
		return fmt.Errorf("%s: --png names a folder; give the name of a file", png)
	}
	for _, input := range inputs {
		if in, err := os.Stat(input); err == nil && os.SameFile(in, have) {
			return fmt.Errorf("%s: --png would overwrite an input of the job; choose another name", png)
		}
	}
	return nil
}

func samePath(a, b string) bool {
	a, errA := filepath.Abs(a)
	b, errB := filepath.Abs(b)
	return errA == nil && errB == nil && strings.EqualFold(a, b)
}

// printPicture names the picture below the list of files.
func (c *call) printPicture(png string) {
	if png != "" {
		fmt.Fprintf(c.stdout, "\nPicture\n  %s\n", asapplied.Shown(filepath.Clean(png)))
	}
}
