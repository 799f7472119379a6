package soil

import (
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"ratewright/geo/vector"
)

// The tables that are read, by their names in the dictionary, with the columns that
// each must have.
var needed = map[string][]string{
	"mapunit":   {"mukey", "musym", "muname"},
	"component": {"mukey", "cokey", "compname", "comppct_r"},
	"chorizon":  {"cokey", "hzdept_r", "hzdepb_r", "om_r"},
}

// table is one table on disk with its columns by name.
type table struct {
	path    string
	comma   rune
	header  bool // the first row names the columns
	columns map[string]int
	wide    int // how many columns each row has; 0 where nobody says so
}

// find looks for the three tables in a folder: as a survey area has them, there or in
// its folder tabular, or as CSV.
func find(dir string) (map[string]table, error) {
	for _, d := range []string{dir, filepath.Join(dir, "tabular")} {
		if _, err := os.Stat(filepath.Join(d, "mstabcol.txt")); err == nil {
			return survey(d)
		}
	}
	return plain(dir)
}

// survey finds the tables of a survey area through its dictionary: the fifth column of
// mstab is the file of a table, and mstabcol lists table, place and name of each column.
func survey(dir string) (map[string]table, error) {
	files := map[string]string{}
	err := rows(table{path: filepath.Join(dir, "mstab.txt"), comma: '|'}, func(_ int, row []string) error {
		if len(row) > 4 {
			files[strings.ToLower(row[0])] = row[4]
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	found := map[string]table{}
	for name := range needed {
		file, ok := files[name]
		if !ok {
			return nil, &vector.InputError{File: filepath.Join(dir, "mstab.txt"), What: "does not list the table " + name, Fix: "download the survey area again, with its tabular data"}
		}
		if !strings.HasSuffix(strings.ToLower(file), ".txt") {
			file += ".txt"
		}
		found[name] = table{path: filepath.Join(dir, file), comma: '|', columns: map[string]int{}}
	}
	dictionary := filepath.Join(dir, "mstabcol.txt")
	err = rows(table{path: dictionary, comma: '|'}, func(line int, row []string) error {
		t, ok := found[strings.ToLower(row[0])]
		if !ok {
			return nil
		}
		if len(row) < 3 {
			return &vector.InputError{File: dictionary, Place: fmt.Sprintf("line %d", line), What: "has fewer than three columns", Fix: "download the survey area again"}
		}
		at, err := strconv.Atoi(strings.TrimSpace(row[1]))
		if err != nil || at < 1 {
			return &vector.InputError{File: dictionary, Place: fmt.Sprintf("line %d", line), What: fmt.Sprintf("the place %q of a column is no number", row[1]), Fix: "download the survey area again"}
		}
		t.columns[spelt(row[2])] = at - 1
		return nil
	})
	if err != nil {
		return nil, err
	}
	if err := check(found); err != nil {
		return nil, err
	}
	for name, t := range found {
		if t.wide, err = width(t, name, dictionary); err != nil {
			return nil, err
		}
		found[name] = t
	}
	return found, nil
}

// width is how many columns a table has by the dictionary, which lists each place once: a
// place that is missing is a row that the dictionary has lost.
func width(t table, name, dictionary string) (int, error) {
	places := slices.Sorted(maps.Values(t.columns))
	for i, at := range places {
		what := "lists no column %d of the table %s"
		if at < i {
			what = "lists column %d of the table %s twice"
		}
		if at != i {
			return 0, &vector.InputError{File: dictionary, What: fmt.Sprintf(what, min(i, at)+1, name), Fix: "download the survey area again"}
		}
	}
	return len(places), nil
}

// spelt is a column's name as the survey spells it: om.r of some tables is om_r.
func spelt(name string) string {
	return strings.ReplaceAll(strings.ToLower(strings.TrimSpace(name)), ".", "_")
}

// plain finds tables with headers among the CSV files of a folder by their columns.
func plain(dir string) (map[string]table, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, &vector.InputError{File: dir, What: "cannot be read: " + cause(err), Fix: "name the folder of the survey's tables"}
	}
	found := map[string]table{}
	for _, e := range entries {
		if e.IsDir() || !strings.EqualFold(filepath.Ext(e.Name()), ".csv") {
			continue
		}
		t := table{path: filepath.Join(dir, e.Name()), comma: ',', header: true, columns: map[string]int{}}
		stop := errors.New("the header is all")
		twice := ""
		err := rows(table{path: t.path, comma: ','}, func(_ int, row []string) error {
			for i, name := range row {
				if _, there := t.columns[spelt(name)]; there && name != "" {
					twice = name
				}
				t.columns[spelt(name)] = i
			}
			t.wide = len(row)
			return stop
		})
		if err != nil && !errors.Is(err, stop) {
			return nil, err
		}
		for name, columns := range needed {
			if !lacks(t, columns) {
				if twice != "" {
					return nil, &vector.InputError{File: t.path, Place: "line 1", What: fmt.Sprintf("has two columns %q", twice), Fix: "leave one of them"}
				}
				if other, there := found[name]; there {
					return nil, &vector.InputError{File: t.path, What: fmt.Sprintf("and %s both look like the table %s", filepath.Base(other.path), name), Fix: "keep one of them in the folder"}
				}
				found[name] = t
			}
		}
	}
	for name, columns := range needed {
		if _, ok := found[name]; !ok {
			return nil, &vector.InputError{
				File: dir, What: fmt.Sprintf("has no table %s: neither mstabcol.txt of a survey area, nor a .csv with the columns %s", name, strings.Join(columns, ", ")),
				Fix: "name the folder `tabular` of a survey area, or one with its tables as CSV",
			}
		}
	}
	return found, nil
}

func lacks(t table, columns []string) bool {
	for _, c := range columns {
		if _, ok := t.columns[c]; !ok {
			return true
		}
	}
	return false
}

func check(found map[string]table) error {
	for name, columns := range needed {
		for _, c := range columns {
			if _, ok := found[name].columns[c]; !ok {
				return &vector.InputError{File: found[name].path, What: fmt.Sprintf("has no column %s by the survey's dictionary", c), Fix: "download the survey area again"}
			}
		}
	}
	return nil
}

// Files are the tables that Read reads of a folder, and their dictionary.
func Files(dir string) ([]string, error) {
	found, err := find(dir)
	if err != nil {
		return nil, err
	}
	var files []string
	for _, name := range slices.Sorted(maps.Keys(found)) {
		files = append(files, found[name].path)
	}
	if t := found["mapunit"]; !t.header {
		d := filepath.Dir(t.path)
		files = append(files, filepath.Join(d, "mstab.txt"), filepath.Join(d, "mstabcol.txt"))
	}
	return files, nil
}
