package soil

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

const depth = unit.Length(0.30)

func dataDir(t *testing.T, sub string) string {
	t.Helper()
	dir := filepath.Join("..", "..", "..", "shared", "data", sub)
	if _, err := os.Stat(dir); err != nil {
		t.Skipf("open data folder %s is not there; a small survey of the same kind is tested below", dir)
	}
	return dir
}

// Boone County, Iowa (USDA-NRCS SSURGO, public domain): organic matter of 0 to 30 cm,
// weighed by components, 3.22667 % in the Clarion unit and 6.46667 % in the Canisteo unit.
func TestIowaTables(t *testing.T) {
	dir := dataDir(t, "soil")
	units, _, err := Read(dir, 0, depth, nil)
	require.NoError(t, err)
	require.Len(t, units, 2)
	require.InDelta(t, 3.22667, units["2765522"].OM.Mid, 5e-6)
	require.InDelta(t, 6.46667, units["2922007"].OM.Mid, 5e-6)
	clarion := units["2765522"]
	require.Equal(t, "L138B", clarion.Symbol)
	require.Equal(t, "Clarion", clarion.Component)
	require.Equal(t, "loam", clarion.Texture)
	require.Equal(t, "medium", clarion.Group)
	require.Less(t, clarion.OM.Low, clarion.OM.Mid)
	require.Greater(t, clarion.OM.High, clarion.OM.Mid)

	layer, err := vector.Read(filepath.Join(dir, "ISUAG_SSURGO_Mapunits.shp"), vector.Options{})
	require.NoError(t, err)
	features, _, err := Attach(layer.Features, "MUKEY", units)
	require.NoError(t, err)
	require.Len(t, features, 3)
	v, ok := features[0].Get(ColumnOM)
	require.True(t, ok)
	require.False(t, v.IsNull())
}

// The rows of a small survey: two components of 80 and 15 %, and one of 5 % without
// horizons. Of the first, 0-20 cm with 4 % and 20-60 cm with 2 %; of the second 0-60 cm with 1 %.
var small = map[string][][]string{
	"mapunit":   {{"musym", "muname", "mukey"}, {"55B", "Made up loam", "1"}, {"W", "Water", "2"}},
	"component": {{"comppct_r", "compname", "drainagecl", "hydgrp", "mukey", "cokey"}, {"80", "Alpha", "Well drained", "B", "1", "10"}, {"15", "Beta", "Poorly drained", "C/D", "1", "11"}, {"5", "Gamma", "", "", "1", "12"}, {"100", "Water", "", "", "2", "20"}},
	"chorizon": {
		{"hzname", "hzdept_r", "hzdepb_r", "om_l", "om_r", "om_h", "sandtotal_r", "silttotal_r", "claytotal_r", "ph1to1h2o_r", "cec7_r", "cokey"},
		{"Ap", "0", "20", "3", "4", "5", "40", "38", "22", "6.5", "20", "10"},
		{"Bw", "20", "60", "1", "2", "3", "40", "38", "22", "7.1", "18", "10"},
		{"A", "0", "60", "", "1", "", "20", "50", "30", "6.0", "25", "11"},
	},
}

// 80 %: (20 x 4 + 10 x 2) / 30 = 3.3333; 15 %: 1; so (80 x 3.3333 + 15) / 95 = 2.9649. Low is
// known of the first alone: (20 x 3 + 10) / 30 = 2.3333.
func expectSmall(t *testing.T, units map[string]Unit) {
	t.Helper()
	u := units["1"]
	require.InDelta(t, 2.964912, u.OM.Mid, 1e-6)
	require.InDelta(t, 2.333333, u.OM.Low, 1e-6)
	require.InDelta(t, (80*(20*6.5+10*7.1)/30+15*6.0)/95, u.PH.Mid, 1e-9)
	require.Equal(t, "loam", u.Texture)
	require.Equal(t, "Alpha", u.Component)
	require.Equal(t, "B", u.Hydrologic)
	require.InDelta(t, 95, u.WithPct, 1e-12)
	require.Equal(t, []string{"components without horizons in this depth count for nothing: Gamma (5 %)"}, u.Notes)
	require.False(t, units["2"].OM.Known)
}

func asCSV(t *testing.T, tables map[string][][]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, rows := range tables {
		var b strings.Builder
		for i, row := range rows {
			line := strings.Join(row, ",")
			if i == 0 {
				line = strings.ReplaceAll(line, "_", ".") // as some have it
			}
			b.WriteString(line + "\n")
		}
		require.NoError(t, os.WriteFile(filepath.Join(dir, "area_"+name+".csv"), []byte(b.String()), 0o600))
	}
	return dir
}

// asSurvey writes tables as a survey area has them: parted by bars, texts in quotes, no
// headers, a text over several lines, and the dictionary beside them.
func asSurvey(t *testing.T, tables map[string][][]string) string {
	t.Helper()
	dir := t.TempDir()
	tabular := filepath.Join(dir, "tabular")
	require.NoError(t, os.MkdirAll(tabular, 0o700))
	files := map[string]string{"mapunit": "mapunit", "component": "comp", "chorizon": "chorizon"}
	var mstab, mstabcol strings.Builder
	write := func(name, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(tabular, name+".txt"), []byte(text), 0o600))
	}
	for name, rows := range tables {
		fmt.Fprintf(&mstab, "%q|%q|%q|\"A table\r\nof the survey\"|%q\r\n", name, name, name, files[name])
		for i := len(rows[0]) - 1; i >= 0; i-- { // in any order
			fmt.Fprintf(&mstabcol, "%q|%d|%q|\"x\"|\"a text\r\nover lines\"\r\n", name, i+1, rows[0][i])
		}
		var b strings.Builder
		for _, row := range rows[1:] {
			for i, cell := range row {
				if i > 0 {
					b.WriteByte('|')
				}
				if strings.ContainsAny(cell, " abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ") {
					cell = `"` + cell + `"`
				}
				b.WriteString(cell)
			}
			b.WriteString("\r\n")
		}
		write(files[name], b.String())
	}
	write("mstab", mstab.String())
	write("mstabcol", mstabcol.String())
	return dir
}

func TestBothFormsOfTablesGiveTheSame(t *testing.T) {
	for name, dir := range map[string]string{"csv": asCSV(t, small), "survey": asSurvey(t, small)} {
		units, _, err := Read(dir, 0, depth, nil)
		require.NoError(t, err, name)
		require.Len(t, units, 2)
		expectSmall(t, units)
	}
	some, _, err := Read(asSurvey(t, small), 0, depth, map[string]bool{"1": true})
	require.NoError(t, err)
	require.Len(t, some, 1)
}

func TestDeeperThanTheHorizonsSaysSo(t *testing.T) {
	units, _, err := Read(asCSV(t, small), 0, unit.Metres(1), nil)
	require.NoError(t, err)
	require.Contains(t, strings.Join(units["1"].Notes, "\n"), "the horizons of Alpha (80 %) go down to 60 of 100 cm")
}

func TestFaultsOfTablesNameFileAndLine(t *testing.T) {
	for want, change := range map[string]func(map[string][][]string){
		"chorizon.csv: line 2: column om_r holds \"160\"":          func(m map[string][][]string) { m["chorizon"][1][4] = "160" },
		"chorizon.csv: line 2: column ph1to1h2o_r holds \"65\"":    func(m map[string][][]string) { m["chorizon"][1][9] = "65" },
		"a horizon of Alpha ends at 10 cm, above its top at 20 cm": func(m map[string][][]string) { m["chorizon"][2][2] = "10" },
		"two horizons of Alpha overlap between 10 and 20 cm":       func(m map[string][][]string) { m["chorizon"][2][1] = "10" },
		"map unit 55B: its components add up to 115 %":             func(m map[string][][]string) { m["component"][2][0] = "30" },
		"component.csv: line 2: column comppct_r holds \"many\"":   func(m map[string][][]string) { m["component"][1][0] = "many" },
		"has no table chorizon":                                    func(m map[string][][]string) { delete(m, "chorizon") },
		"mapunit.csv: line 2: has no mukey":                        func(m map[string][][]string) { m["mapunit"][1][2] = "" },
		"add up to 20 %, less than half of the unit; download":     func(m map[string][][]string) { m["component"][1][0], m["component"][2][0] = "10", "5" },
		"add up to 1 %, less than half of the unit; write percents": func(m map[string][][]string) {
			m["component"][1][0], m["component"][2][0], m["component"][3][0] = "0.8", "0.15", "0.05"
		},
		"column hzdept_r holds \"-5\", which lies not between 0 and": func(m map[string][][]string) { m["chorizon"][1][1] = "-5" },
	} {
		tables := map[string][][]string{}
		for name, rows := range small {
			for _, row := range rows {
				tables[name] = append(tables[name], append([]string{}, row...))
			}
		}
		change(tables)
		_, _, err := Read(asCSV(t, tables), 0, depth, nil)
		require.ErrorContains(t, err, want)
	}
	_, _, err := Read(asCSV(t, small), depth, depth, nil)
	require.ErrorContains(t, err, "is none")
	_, _, err = Read(filepath.Join(t.TempDir(), "nowhere"), 0, depth, nil)
	require.ErrorContains(t, err, "cannot be read")
}

func TestAUnitWithoutComponentsIsNotInvented(t *testing.T) {
	tables := map[string][][]string{"mapunit": small["mapunit"], "component": small["component"][:1], "chorizon": small["chorizon"]}
	units, _, err := Read(asCSV(t, tables), 0, depth, nil)
	require.NoError(t, err)
	require.False(t, units["1"].OM.Known)
	require.Contains(t, units["1"].Notes[0], "nothing is known of its soil")
	f := vector.Feature{Attributes: []vector.Attribute{{Name: "MUKEY", Value: vector.NewText("1")}}}
	got, notes, err := Attach([]vector.Feature{f, f}, "MUKEY", units)
	require.NoError(t, err)
	require.Len(t, notes, 1)
	v, ok := got[0].Get(ColumnOM)
	require.True(t, ok)
	require.True(t, v.IsNull(), "never zero")

	f.Attributes[0].Value = vector.NewText("99")
	_, _, err = Attach([]vector.Feature{f}, "MUKEY", units)
	require.ErrorContains(t, err, "map unit 99 is not in the survey's tables")
}

// changed is the small survey with a change.
func changed(change func(map[string][][]string)) map[string][][]string {
	tables := map[string][][]string{}
	for name, rows := range small {
		for _, row := range rows {
			tables[name] = append(tables[name], append([]string{}, row...))
		}
	}
	change(tables)
	return tables
}

// What is not known of a unit is said with its share; what is known of less than half of it
// is not taken at all. All of it is cut to 0-30 cm.
func TestWhatIsNotKnownIsSaidWithItsShare(t *testing.T) {
	type tables = map[string][][]string
	for _, c := range []struct {
		name   string
		change func(tables)
		known  bool
		om     float64
		notes  []string
	}{
		{"percents of 95", func(m tables) { m["component"] = append(m["component"][:3:3], m["component"][4]) }, true, 2.964912, []string{"its components add up to 95 %; the other 5 % of it is not described"}},
		{"the only horizon of a minor component", func(m tables) { m["chorizon"][3][4] = "" }, true, 10.0 / 3, []string{"organic matter: the value is of the 80 % of the unit and depth where it is known: Beta (15 %) has none in 30 of 30 cm"}},
		// (80 x 10 + 15 x 30) / (100 x 30) is 42 % of the unit.
		{"the topsoil of the main component", func(m tables) { m["chorizon"][1][4] = "" }, false, 0, []string{"organic matter: known of 42 % of the unit and depth alone, less than half, and so not taken: Alpha (80 %) has none in 20 of 30 cm"}},
		{"all of the main component", func(m tables) { m["chorizon"][1][4], m["chorizon"][2][4] = "", "" }, false, 0, []string{"organic matter: known of 15 % of"}},
		{"the row of its topsoil", func(m tables) { m["chorizon"] = append(m["chorizon"][:1:1], m["chorizon"][2:]...) }, false, 0, []string{"organic matter, pH, CEC, sand, silt, clay: known of 42 %"}},
		{"a horizon without depths", func(m tables) { m["chorizon"][3][1] = "" }, true, 10.0 / 3, []string{"1 horizons of Beta (15 %) have no depths and are left out", "count for nothing: Beta (15 %), Gamma (5 %)"}},
		{"rock below 20 cm", func(m tables) {
			for i := 3; i <= 10; i++ {
				m["chorizon"][2][i] = ""
			}
		}, true, (80*4 + 15.0) / 95, []string{"the horizons of Alpha (80 %) go down to 20 of 30 cm"}},
		{"all horizons of the main component", func(m tables) { m["chorizon"] = append(m["chorizon"][:1:1], m["chorizon"][3]) }, false, 0, []string{"count for nothing: Alpha (80 %), Gamma (5 %)", "organic matter, pH, CEC, sand, silt, clay: known of 15 %"}},
	} {
		for form, dir := range map[string]string{"csv": asCSV(t, changed(c.change)), "survey": asSurvey(t, changed(c.change))} {
			units, _, err := Read(dir, 0, depth, nil)
			require.NoError(t, err, "%s %s", c.name, form)
			u := units["1"]
			require.Equal(t, c.known, u.OM.Known, "%s %s", c.name, form)
			if c.known {
				require.InDelta(t, c.om, u.OM.Mid, 1e-6, "%s %s", c.name, form)
			}
			for _, n := range c.notes {
				require.Contains(t, strings.Join(u.Notes, "\n"), n, "%s %s", c.name, form)
			}
		}
	}
}

// A file that ends too early at the end of a line has no row that is wrong: what the
// other tables have of it tells.
func TestATableCutAtTheEndOfALineIsSaid(t *testing.T) {
	cut := changed(func(m map[string][][]string) { m["component"] = m["component"][:2] })
	units, notes, err := Read(asSurvey(t, cut), 0, depth, nil)
	require.NoError(t, err)
	require.Equal(t, []string{"chorizon.txt: 1 of its horizons belong to components that comp.txt does not list and count for nothing: was one of the two cut?"}, notes)
	require.Contains(t, units["1"].Notes[0], "its components add up to 80 %; the other 20 %")
	require.Contains(t, units["2"].Notes[0], "no component of it is in the survey")

	_, notes, err = Read(asSurvey(t, small), 0, depth, map[string]bool{"2": true})
	require.NoError(t, err)
	require.Empty(t, notes, "horizons of units that nobody asks for are no strays")
}

// A row that is cut, or a quote that is lost, swallows what follows: an error names the line.
func TestRowsThatAreNotWhole(t *testing.T) {
	for _, c := range []struct{ file, old, new, want string }{
		{"comp.txt", "|1|11", "", "comp.txt: line 2: has 4 columns of 6"},
		{"comp.txt", "15|\"Beta\"|", "15|\"Beta|", "comp.txt: line 2: the text of column 2 runs over its end: a quote is missing"},
		{"comp.txt", "\"Gamma\"|", "\"Gamma|", "comp.txt: line 3: "},
		{"comp.txt", "15|\"Beta\"|", "15|\"Beta\"", "comp.txt: line 2: "},
		{"comp.txt", "\"C/D\"|1|11", "\"C/D|1|11", "comp.txt: line 2: "},
		{"chorizon.txt", "\"Ap\"|", "\"Ap|", "chorizon.txt: line 1: "},
		{"chorizon.txt", "6.0|25|11", "6.0|25", "chorizon.txt: line 3: has 11 columns of 12"},
		{"chorizon.txt", "25|11", "25|", "chorizon.txt: line 3: has no cokey"},
		{"mapunit.txt", "\"55B\"|", "\"55B|", "mapunit.txt: line 1: "},
		{"mapunit.txt", "|2", "|1", "mapunit.txt: line 2: mukey 1 is there twice"},
		{"comp.txt", "|1|11", "|1|10", "comp.txt: line 2: cokey 10 is there twice"},
		{"comp.txt", "|1|11", "||11", "comp.txt: line 2: has no mukey"},
		{"mstabcol.txt", "\"component\"|6|", "\"component|6|", "comp.txt: has no column cokey by the survey's dictionary"},
		{"mstabcol.txt", "\"chorizon\"|4|", "\"chorizon\"|3|", "mstabcol.txt: lists column 3 of the table chorizon twice"},
	} {
		dir := asSurvey(t, small)
		path := filepath.Join(dir, "tabular", c.file)
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		require.Contains(t, string(data), c.old)
		require.NoError(t, os.WriteFile(path, []byte(strings.Replace(string(data), c.old, c.new, 1)), 0o600))
		_, _, err = Read(dir, 0, depth, nil)
		require.ErrorContains(t, err, c.want, "%s: %s", c.file, c.new)
	}
	dir := asCSV(t, small)
	path := filepath.Join(dir, "area_component.csv")
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	for new, want := range map[string]string{
		"15,\"Beta,": "area_component.csv: line 3: a quote is missing",
		"15,Be\"ta,": "area_component.csv: line 3: a quote is missing",
		"15,Beta,,,": "area_component.csv: line 3: has 8 columns of 6",
	} {
		require.NoError(t, os.WriteFile(path, []byte(strings.Replace(string(data), "15,Beta,", new, 1)), 0o600))
		_, _, err = Read(dir, 0, depth, nil)
		require.ErrorContains(t, err, want)
	}
	require.NoError(t, os.WriteFile(path, append([]byte("\ufeff"), data...), 0o600))
	_, _, err = Read(dir, 0, depth, nil)
	require.NoError(t, err, "a byte order mark is not part of the first name")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "other.csv"), []byte("a,a,5\" deep\n1,2\n"), 0o600))
	_, _, err = Read(dir, 0, depth, nil)
	require.NoError(t, err, "another table of the folder")
	require.NoError(t, os.WriteFile(path, []byte("compname,"+strings.ReplaceAll(string(data), "\n", "\nx,")), 0o600))
	_, _, err = Read(dir, 0, depth, nil)
	require.ErrorContains(t, err, "area_component.csv: line 1: has two columns \"compname\"")
}

// A quote within a text that is not doubled, and a text over lines, are whole.
func TestTextsWithQuotesAndLines(t *testing.T) {
	dir := asSurvey(t, small)
	path := filepath.Join(dir, "tabular", "mapunit.txt")
	require.NoError(t, os.WriteFile(path, []byte("\"55B\"|\"Loam, 3\" of sand\r\nabove\"|1\r\n\"W\"|\"Water\"|2\r\n"), 0o600))
	units, _, err := Read(dir, 0, depth, nil)
	require.NoError(t, err)
	require.Equal(t, "Loam, 3\" of sand\nabove", units["1"].Name)
}

// Corners and middles of the triangle (USDA Soil Survey Manual, chapter 3).
func TestTextureTriangle(t *testing.T) {
	for want, s := range map[string][][2]float64{ // sand, clay
		"sand": {{92, 4}, {100, 0}}, "loamy sand": {{82, 6}}, "sandy loam": {{65, 10}, {50, 3}}, "loam": {{40, 20}, {52, 7}},
		"silt loam": {{20, 15}, {25, 5}}, "silt": {{6, 6}}, "sandy clay loam": {{60, 25}}, "clay loam": {{33, 34}},
		"silty clay loam": {{10, 34}}, "sandy clay": {{52, 42}}, "silty clay": {{7, 47}}, "clay": {{20, 60}, {0, 100}},
	} {
		for _, p := range s {
			got, err := Texture(p[0], 100-p[0]-p[1], p[1])
			require.NoError(t, err)
			require.Equal(t, want, got, "sand %v clay %v", p[0], p[1])
		}
	}
	_, err := Texture(50, 10, 10)
	require.ErrorContains(t, err, "do not add up")
	groups := map[string]int{}
	for sand := 0; sand <= 100; sand++ {
		for clay := 0; clay+sand <= 100; clay++ {
			class, err := Texture(float64(sand), float64(100-sand-clay), float64(clay))
			require.NoError(t, err)
			groups[Group(class)]++
		}
	}
	require.Len(t, groups, 3, "every soil is in a group: %v", groups)
}
