package job

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx/nitrogen/guard"
)

// maxJobBytes is far above any job; a larger file is something else.
const maxJobBytes = 4 << 20

// Load reads and decodes a job file.
func Load(path string) (Job, error) {
	f, err := os.Open(path)
	if err != nil {
		return Job{}, &vector.InputError{File: path, What: "cannot read the job file: " + cause(err), Fix: vector.Remedy(err, "check the path")}
	}
	defer f.Close()
	if st, err := f.Stat(); err == nil && st.IsDir() {
		return Job{}, &vector.InputError{File: path, What: "is a folder, not a job file", Fix: "name the job file in it; season takes folders"}
	}
	data, err := io.ReadAll(io.LimitReader(f, maxJobBytes+1))
	if err != nil {
		return Job{}, &vector.InputError{File: path, What: "cannot read the job file: " + cause(err), Fix: vector.Remedy(err, "")}
	}
	if len(data) > maxJobBytes {
		return Job{}, &vector.InputError{File: path, What: "is larger than 4 MiB, which no job file is", Fix: "name the job file, not an input"}
	}
	return Decode(path, data)
}

// cause leaves the path out of a file error, where the message names it already.
func cause(err error) string {
	var pathErr *os.PathError
	if errors.As(err, &pathErr) {
		return pathErr.Err.Error()
	}
	return err.Error()
}

// Decode decodes the bytes of a job file. path names the file in errors, and its
// folder is where relative paths start.
func Decode(path string, data []byte) (Job, error) {
	root, err := parseYAML(path, data)
	if err != nil {
		return Job{}, err
	}
	d := decoder{faults: &faults{file: path}, folder: filepath.Dir(path)}
	job := d.job(root)
	job.Path = path
	if err := d.err(); err != nil {
		return Job{}, err
	}
	return job, nil
}

var yamlLine = regexp.MustCompile(`^yaml: line (\d+): (.*)$`)

func parseYAML(path string, data []byte) (*yaml.Node, error) {
	dec := yaml.NewDecoder(bytes.NewReader(data))
	var doc, more yaml.Node
	err := dec.Decode(&doc)
	if errors.Is(err, io.EOF) {
		return nil, &vector.InputError{File: path, What: "the job file is empty", Fix: "name at least a field with its boundary"}
	}
	if err == nil {
		if next := dec.Decode(&more); !errors.Is(next, io.EOF) && next == nil {
			return nil, &vector.InputError{File: path, Place: fmt.Sprintf("line %d", more.Line), What: "a second YAML document begins", Fix: "keep one job in a file"}
		} else if !errors.Is(next, io.EOF) {
			err = next
		}
	}
	if err != nil {
		bad := &vector.InputError{File: path, What: "is not YAML: " + strings.TrimPrefix(err.Error(), "yaml: "), Fix: "check indentation, colons and quotes near there"}
		if m := yamlLine.FindStringSubmatch(err.Error()); m != nil {
			bad.Place, bad.What = "line "+m[1], "is not YAML: "+m[2]
		} else {
			bad.Place = unlined(data, err)
		}
		if fix := yamlFix(data, err); fix != "" {
			bad.Fix = fix
		}
		return nil, bad
	}
	return doc.Content[0], nil
}

var anchor = regexp.MustCompile(`unknown anchor '(.*)' referenced`)

// unlined is the place of an error that YAML gives no line: it counts them from zero and
// is silent about the first, and does not count for single characters and for anchors.
func unlined(data []byte, err error) string {
	at := bytes.IndexFunc(data, func(c rune) bool {
		return c == utf8.RuneError || unicode.IsControl(c) && !strings.ContainsRune("\t\n\r\u0085", c)
	})
	if m := anchor.FindStringSubmatch(err.Error()); m != nil {
		at = bytes.Index(data, []byte("*"+m[1]))
	}
	return fmt.Sprintf("line %d", 1+bytes.Count(data[:max(0, at)], []byte("\n")))
}

// yamlFix is what helps against the slips that words of YAML do not tell; empty
// where it is neither of them.
func yamlFix(data []byte, err error) string {
	if at := tabbed.FindIndex(data); at != nil {
		return fmt.Sprintf("indent with spaces: line %d begins with a tab", 1+bytes.Count(data[:at[0]], []byte("\n")))
	}
	switch text := err.Error(); {
	case strings.Contains(text, "escape"), strings.Contains(text, "hexdecimal"):
		return backslashes
	case strings.Contains(text, "unknown anchor"):
		return "write a value that begins with * in quotes"
	case strings.Contains(text, "UTF-8"):
		return "save it as UTF-8"
	case strings.Contains(text, "control characters"):
		return "take the character out that cannot be seen"
	}
	return ""
}

const backslashes = "in double quotes a backslash begins an escape; write such a path in single quotes, or with / in place of \\"

// tabbed finds a line that is indented with a tab.
var tabbed = regexp.MustCompile(`(?m)^ *\t[ \t]*[^ \t\r\n#]`)

type decoder struct {
	*faults
	folder string
	units  unit.System // of the job
}

// path resolves a path of the job file. One written on Windows is read elsewhere, too:
// its \ stand for / where the file is found so and not as it is written.
func (d decoder) path(s string) string {
	if s == "" || filepath.IsAbs(s) {
		return s
	}
	file := filepath.Join(d.folder, filepath.FromSlash(s))
	if strings.Contains(s, `\`) {
		slashed := filepath.Join(d.folder, filepath.FromSlash(strings.ReplaceAll(s, `\`, "/")))
		if !there(file) && there(slashed) {
			return slashed
		}
	}
	return file
}

func there(file string) bool {
	_, err := os.Lstat(file)
	return err == nil
}

func (d decoder) paths(list []string) []string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = d.path(s)
	}
	return out
}

// theJob is the name of the outermost mapping.
const theJob = "the job"

func (d decoder) job(root *yaml.Node) Job {
	var j Job
	m, ok := d.mapping(root, theJob, "units", "field", "zones", "sources", "machines", "prices", "target", "weather", "crop", "applications", "loss", "plan", "strategies", "supply", "work", "reconcile", "accept")
	if !ok {
		return j
	}
	j.Units = parsedOr(m, "units", unit.ParseSystem, unit.US)
	d.units = j.Units
	m.require("name the field and its boundary file", "field")
	if n, ok := m.node("field"); ok {
		j.Field = d.field(n)
	}
	if n, ok := m.node("zones"); ok {
		j.Zones = d.zones(n)
	}
	if n, ok := m.node("sources"); ok {
		j.Sources = d.sources(n)
	}
	if n, ok := m.node("machines"); ok {
		j.Machines = d.machines(n)
	}
	j.Prices = d.prices(m, j)
	if n, ok := m.node("target"); ok {
		j.Target = d.rateOf("target", n, j)
		if j.Target.Part != nil {
			d.add(n.Line, "write the season's target: a column, a table or a method", "the target is a part of itself")
		}
	}
	j.Weather, j.Crop = d.weather(m), d.crop(m)
	m.list("applications", func(i int, item *yaml.Node) {
		j.Applications = append(j.Applications, d.application(i, item, j))
	})
	d.uniqueNames(j.Applications)
	j.Plan, j.Supply, j.Work = d.plan(m, j), d.supply(m), d.work(m, j.Units)
	j.Strategies = d.strategies(m, j)
	j.Losses = d.losses(m)
	j.Comparison = d.reconcile(m)
	if n, ok := m.node("accept"); ok {
		j.Accept, j.AcceptNot = d.accept(n)
	}
	return j
}

// uniqueNames keeps the file names of applications apart.
func (d decoder) uniqueNames(apps []ApplicationSpec) {
	seen := map[string]bool{}
	for _, a := range apps {
		key := strings.ToLower(a.Name)
		if a.Name != "" && seen[key] {
			d.add(a.line, "give each application a name of its own", "two applications are named %q", a.Name)
		}
		seen[key] = true
	}
}

func (d decoder) reconcile(m mapping) ReconcileSpec {
	// Defaults: an off-rate threshold of 10 % as in published field studies, and
	// patches that are worth a walk.
	r := ReconcileSpec{Tolerance: 0.10, MinPatch: unit.Acres(0.01)}
	n, ok := m.node("reconcile")
	if !ok {
		return r
	}
	if m, ok := d.mapping(n, "reconcile", "tolerance", "min_patch", "patches"); ok {
		r.Tolerance = parsedOr(m, "tolerance", unit.ParseFraction, r.Tolerance)
		r.MinPatch = parsedOr(m, "min_patch", unit.ParseArea, r.MinPatch)
		switch text, _ := m.text("patches"); text {
		case "", "all":
		case "none":
			r.NoPatches = true
		default:
			d.add(m.lineOf("patches"), "write all, or none where only the sums are wanted", "reconcile: patches cannot be %q", text)
		}
		if r.Tolerance >= 1 {
			d.add(m.lineOf("tolerance"), "give a share below 100 %, such as 10 %", "reconcile: a tolerance of %g %% lets every rate pass", r.Tolerance*100)
		}
	}
	return r
}

// Findings are the names that `accept:` knows: shares of the field's area, and
// short and excess as shares of the prescribed nitrogen.
func Findings() []string {
	return []string{"missed", "doubled", "lapped", "not_planned", "outside", "off_limits", "light", "heavy", "unprescribed", "shallow", "short", "excess"}
}

func (d decoder) accept(n *yaml.Node) (list []AcceptSpec, refused []string) {
	m, _ := d.mapping(n, "accept", append(Findings(), "refuse")...)
	for _, key := range m.texts("refuse") {
		if !contains(guard.Keys(), key) {
			d.unknown(m.lineOf("refuse"), "accept: refuse", "warning", key, guard.Keys())
		}
		refused = append(refused, key)
	}
	m.each(func(key string, _ *yaml.Node) {
		if key == "refuse" {
			return
		}
		if share, ok := parsed(m, key, unit.ParseFraction); ok {
			list = append(list, AcceptSpec{Finding: key, Share: share})
		}
	})
	return list, refused
}

func (d decoder) field(n *yaml.Node) FieldSpec {
	f := FieldSpec{line: n.Line}
	m, ok := d.mapping(n, "field", "name", "boundary", "where", "exclude", "setbacks", "crs")
	if !ok {
		return f
	}
	m.require("name the file with the field's outline", "boundary")
	f.Name, _ = m.text("name")
	boundary, _ := m.text("boundary")
	f.Boundary = d.path(boundary)
	f.Exclude = d.paths(m.texts("exclude"))
	f.CRS, _ = m.text("crs")
	if n, ok := m.node("where"); ok {
		if w, ok := d.freeMapping(n, "field: where"); ok {
			w.each(func(key string, _ *yaml.Node) {
				if text, ok := w.text(key); ok {
					f.Where = append(f.Where, Equal{key, text})
				}
			})
		}
	}
	m.list("setbacks", func(i int, item *yaml.Node) { f.Setbacks = append(f.Setbacks, d.setback(i, item)) })
	if f.Name == "" {
		f.Name = strings.TrimSuffix(filepath.Base(f.Boundary), filepath.Ext(f.Boundary))
	}
	return f
}

func (d decoder) setback(i int, n *yaml.Node) SetbackSpec {
	var s SetbackSpec
	m, ok := d.mapping(n, fmt.Sprintf("setback %d", i+1), "around", "distance")
	if !ok {
		return s
	}
	m.require("write {around: FILE, distance: 50 ft}", "around", "distance")
	around, _ := m.text("around")
	s.Around = d.path(around)
	s.Distance = parsedOr(m, "distance", unit.ParseLength, 0)
	if m.has("distance") && s.Distance < 0 {
		d.add(m.lineOf("distance"), "give how far to stay away", "%s: its distance is below zero", m.name)
	}
	return s
}

func (d decoder) zones(n *yaml.Node) *ZonesSpec {
	m, ok := d.mapping(n, "zones", "file", "id", "columns", "crs", "overlap", "gaps", "slivers", "soil", "samples", "images", "layers", "min_part", "cluster")
	if !ok {
		return nil
	}
	z := &ZonesSpec{line: n.Line, LayerSpec: LayerSpec{Columns: map[string]string{}}, MinPart: defaultMinPart}
	if n, ok := m.node("cluster"); ok {
		z.Cluster = d.cluster(n)
		if m.has("file") || m.has("id") {
			d.add(n.Line, "leave out one of them", "zones: made by cluster, and read from a file")
		}
	} else {
		m.require("name the file with the zones", "file")
		m.require("name the column that holds the zone ids", "id")
	}
	file, _ := m.text("file")
	z.File = d.path(file)
	z.ID, _ = m.text("id")
	z.CRS, _ = m.text("crs")
	z.Overlap = m.choice("overlap", overlapRules...)
	z.Gaps = m.choice("gaps", gapRules...)
	if v, ok := parsed(m, "slivers", unit.ParseArea); ok {
		z.Slivers = &v
	}
	if n, ok := m.node("soil"); ok {
		z.Soil = d.soil(n)
	}
	m.list("layers", func(i int, item *yaml.Node) { z.Layers = append(z.Layers, d.layer(i, item)) })
	z.MinPart = parsedOr(m, "min_part", unit.ParseArea, z.MinPart)
	m.list("samples", func(i int, item *yaml.Node) { z.Samples = append(z.Samples, d.samples(i, item)) })
	m.list("images", func(i int, item *yaml.Node) { z.Images = append(z.Images, d.image(i, item)) })
	if n, ok := m.node("columns"); ok {
		if c, ok := d.mapping(n, "zones: columns", zoneRoles...); ok {
			c.each(func(role string, _ *yaml.Node) {
				if column, ok := c.text(role); ok {
					z.Columns[role] = column
				}
			})
		}
	}
	return z
}

// zoneRoles are what the columns of zones can be asked for by another name than their own.
// A role that nothing asks for is a misspelt one, and its column would never be looked at.
var zoneRoles = []string{"rate", "texture", "drainage", "hydrologic", "tiled", "ph", "residue_cover"}

// number reads a plain decimal number; text such as 0x10 or 1_000 is refused.
func number(s string) (float64, error) {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || strings.ContainsAny(s, "xX_pPnN") {
		return 0, fmt.Errorf("%q is not a plain number; write it in digits, such as 30 or 0.5", s)
	}
	return v, nil
}
