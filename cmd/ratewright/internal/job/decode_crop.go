package job

import (
	"fmt"
	"math"
	"time"

	"go.yaml.in/yaml/v3"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/growth"
	"ratewright/rx/nitrogen/starter"
)

func (d decoder) weather(m mapping) *WeatherSpec {
	n, ok := m.node("weather")
	if !ok {
		return nil
	}
	w := &WeatherSpec{Columns: map[string]string{}, Units: map[string]string{}}
	m, ok = d.mapping(n, "weather", "file", "columns", "units", "dates", "observed", "through")
	if !ok {
		return w
	}
	m.require("name the file: .dly or a table", "file")
	file, _ := m.text("file")
	w.File = d.path(file)
	w.Observed, _ = m.text("observed")
	w.Through = d.day(m, "through")
	w.Dates = m.choice("dates", "yyyy-mm-dd", "yyyymmdd", "mm/dd/yyyy", "dd/mm/yyyy")
	if n, ok := m.node("columns"); ok {
		if c, ok := d.mapping(n, "weather: columns", "date", "max", "min", "rain", "soil"); ok {
			c.each(func(role string, _ *yaml.Node) { w.Columns[role], _ = c.text(role) })
		}
	}
	if n, ok := m.node("units"); ok {
		if u, ok := d.mapping(n, "weather: units", "temperature", "rain"); ok {
			if u.has("temperature") {
				w.Units["temperature"] = u.choice("temperature", "F", "C")
			}
			if u.has("rain") {
				w.Units["rain"] = u.choice("rain", "in", "mm")
			}
		}
	}
	return w
}

func (d decoder) crop(m mapping) *CropSpec {
	n, ok := m.node("crop")
	if !ok {
		return nil
	}
	c := &CropSpec{Models: growth.Models()}
	line := m.lineOf("crop")
	hasWeather := m.has("weather")
	m, ok = d.mapping(n, "crop", "planted", "emerged", "stages")
	if !ok {
		return c
	}
	m.require("write when it was planted, such as 2026-04-28", "planted")
	c.Planted, c.Emerged = d.day(m, "planted"), d.day(m, "emerged")
	if c.Emerged != "" && c.Emerged < c.Planted { // both as 2026-06-05
		d.add(m.lineOf("emerged"), "check both dates", "crop: emerged on %s, before it was planted on %s", c.Emerged, c.Planted)
	}
	if name, ok := m.text("stages"); ok && name != "all" {
		model, err := growth.ModelNamed(name)
		if err != nil {
			d.add(m.lineOf("stages"), "", "crop: stages: %v", err)
		}
		c.Models = []growth.Model{model}
	}
	if !hasWeather {
		d.add(line, "name a file of daily weather under `weather:`", "crop: the stage of the crop needs the weather since %s", c.Planted)
	}
	return c
}

// day reads a date, which may be absent.
func (d decoder) day(m mapping, key string) string {
	text, ok := m.text(key)
	if !ok {
		return ""
	}
	if _, err := time.Parse(time.DateOnly, text); err != nil {
		d.add(m.lineOf(key), "write it as 2026-06-05", "%s: %s: %q is not a date", m.name, key, text)
	}
	return text
}

// starter reads where a starter lies.
func (d decoder) starter(app mapping) *StarterSpec {
	n, ok := app.node("starter")
	if !ok {
		return nil
	}
	s := &StarterSpec{line: n.Line}
	m, ok := d.mapping(n, app.name+": starter", "placement", "table", "soil", "rows", "k2o", "limit")
	if !ok {
		return s
	}
	m.require("write with-seed or 2x2", "placement")
	s.Placement = starter.Placement(m.choice("placement", string(starter.WithSeed), string(starter.TwoByTwo)))
	s.Limit = unit.NRate(parsedOr(m, "limit", nitrogenRate, 0))
	if m.has("limit") && s.Limit == 0 {
		d.add(m.lineOf("limit"), "write the most that may lie there, or leave it out for that of a table", "%s: a limit of none allows no starter", m.name)
	}
	if m.has("limit") || s.Placement == starter.TwoByTwo {
		for _, key := range []string{"table", "soil", "rows"} {
			if m.has(key) {
				d.add(m.lineOf(key), "leave it out; it belongs to a table of limits with the seed", "%s takes no account of %s: its limit is one of your own, or that beside the seed", m.name, key)
			}
		}
	}
	if v, ok := parsed(m, "k2o", unit.ParseFraction); ok {
		s.K2O = &v
	}
	if s.Placement == starter.WithSeed && s.Limit == 0 {
		m.require("name the table of limits, the soil and the rows, or give a limit of your own", "table", "soil", "rows")
	}
	s.Table = m.choice("table", starter.Tables()...)
	s.Soil = starter.Soil(m.choice("soil", string(starter.Medium), string(starter.Sandy)))
	s.Rows = parsedOr(m, "rows", unit.ParseLength, 0)
	if m.has("rows") && s.Rows <= 0 {
		d.add(m.lineOf("rows"), "write their distance, such as 30 in", "%s: rows that far apart cannot be", m.name)
	}
	return s
}

// soil reads where the soil survey of the zones stands.
func (d decoder) soil(n *yaml.Node) *SoilSpec {
	s := &SoilSpec{To: defaultSoilDepth, Key: "MUKEY"}
	m, ok := d.mapping(n, "zones: soil", "tables", "key", "from", "to")
	if !ok {
		return s
	}
	m.require("name the folder with the survey's tables", "tables")
	tables, _ := m.text("tables")
	s.Tables = d.path(tables)
	if key, ok := m.text("key"); ok {
		s.Key = key
	}
	s.From = parsedOr(m, "from", unit.ParseLength, 0)
	s.To = parsedOr(m, "to", unit.ParseLength, s.To)
	if s.From < 0 || s.To <= s.From {
		d.add(m.line, "write depths below the surface, such as from: 0 in, to: 12 in", "zones: soil: from %s to %s is no depth", s.From, s.To)
	}
	return s
}

// defaultSoilDepth is the depth of a usual soil sample for nitrogen, 12 in.
const defaultSoilDepth = unit.Length(12 * 0.0254)

// samples reads a file of samples that gives the zones a column.
func (d decoder) samples(i int, n *yaml.Node) SampleSpec {
	s := SampleSpec{TableSpec: TableSpec{Columns: map[string]string{}, line: n.Line}}
	m, ok := d.mapping(n, fmt.Sprintf("zones: samples %d", i+1), "file", "columns", "name", "crs")
	if !ok {
		return s
	}
	m.require("write {file: soil.csv, columns: {lon: LON, lat: LAT, value: OM}, name: OM_SAMPLE}", "file", "columns", "name")
	file, _ := m.text("file")
	s.File = d.path(file)
	s.Name, _ = m.text("name")
	s.CRS, _ = m.text("crs")
	d.sampleColumns(m, s.Columns)
	return s
}

// sampleColumns reads the columns of samples, or of counts.
func (d decoder) sampleColumns(m mapping, columns map[string]string) {
	n, ok := m.node("columns")
	if !ok {
		return
	}
	if c, ok := d.mapping(n, m.name+": columns", "lon", "lat", "value", "marks"); ok {
		c.require("name the column of the values", "value")
		c.each(func(role string, _ *yaml.Node) { columns[role], _ = c.text(role) })
	}
}

// image reads an image that gives the zones a column of residue cover.
func (d decoder) image(i int, n *yaml.Node) ImageSpec {
	s := ImageSpec{Band: 1, Counts: TableSpec{Columns: map[string]string{}, line: n.Line}}
	m, ok := d.mapping(n, fmt.Sprintf("zones: image %d", i+1), "file", "band", "crs", "calibration", "name")
	if !ok {
		return s
	}
	m.require("write {file: index.tif, calibration: {file: counts.csv, columns: {lon: LON, lat: LAT, value: ON_RESIDUE, marks: MARKS}}, name: RES_PCT}", "file", "calibration", "name")
	file, _ := m.text("file")
	s.File = d.path(file)
	s.Name, _ = m.text("name")
	s.CRS, _ = m.text("crs")
	band := parsedOr(m, "band", number, 1)
	if band < 1 || band > 1000 || band != math.Trunc(band) {
		d.add(m.lineOf("band"), "count from 1", "%s: band %g is none", m.name, band)
	}
	s.Band = int(band)
	c, ok := m.node("calibration")
	if !ok {
		return s
	}
	if m, ok = d.mapping(c, m.name+": calibration", "file", "crs", "columns"); ok {
		m.require("name the file of counts and its columns", "file", "columns")
		file, _ := m.text("file")
		s.Counts.File = d.path(file)
		s.Counts.CRS, _ = m.text("crs")
		d.sampleColumns(m, s.Counts.Columns)
	}
	return s
}

// defaultMinPart is less than a machine can tell from its neighbours: half an acre.
const defaultMinPart = unit.Area(0.5 * 4046.8564224)

// layer reads a division of the field that is laid over the zones.
func (d decoder) layer(i int, n *yaml.Node) LayerSpec {
	var l LayerSpec
	m, ok := d.mapping(n, fmt.Sprintf("zones: layer %d", i+1), "file", "id", "crs", "soil")
	if !ok {
		return l
	}
	m.require("write {file: FILE, id: COLUMN}", "file", "id")
	file, _ := m.text("file")
	l.File = d.path(file)
	l.ID, _ = m.text("id")
	l.CRS, _ = m.text("crs")
	if s, ok := m.node("soil"); ok {
		l.Soil = d.soil(s)
	}
	return l
}

// cluster reads of what zones are made.
func (d decoder) cluster(n *yaml.Node) *ClusterSpec {
	c := &ClusterSpec{Cell: defaultCell, Seed: 1, line: n.Line}
	m, ok := d.mapping(n, "zones: cluster", "layers", "cell", "zones", "seed")
	if !ok {
		return c
	}
	m.require("write layers: [{file: ec.csv, columns: {lon: LON, lat: LAT, value: EC}, name: EC}]", "layers")
	m.list("layers", func(i int, item *yaml.Node) { c.Layers = append(c.Layers, d.samples(i, item)) })
	c.Cell = parsedOr(m, "cell", unit.ParseLength, c.Cell)
	if c.Cell <= 0 {
		d.add(m.lineOf("cell"), "write the side of a cell, such as 10 m", "%s: a cell of %s is none", m.name, c.Cell)
	}
	c.Zones = int(d.count(m, "zones", 0, 50))
	c.Seed = uint64(d.count(m, "seed", 1, mostSeed))
	return c
}

// mostSeed is a whole number that a float64 holds exactly.
const mostSeed = 1e15

// count reads a whole number from 0 to most; usual stands where there is none.
func (d decoder) count(m mapping, key string, usual, most float64) float64 {
	v := parsedOr(m, key, number, usual)
	if v < 0 || v > most || v != math.Trunc(v) {
		d.add(m.lineOf(key), fmt.Sprintf("write a whole number from 0 to %.0f", most), "%s: %s %g is no number of them", m.name, key, v)
		return usual
	}
	return v
}

// defaultCell is about the width of a bar.
const defaultCell = unit.Length(10)
