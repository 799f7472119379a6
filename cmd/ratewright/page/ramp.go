package page

import "math"

// theme is one of two sets of colours. On paper and in the PNG it is always light.
type theme int

const (
	light theme = iota
	dark
)

// rampSteps is the number of colours that rates are drawn in.
const rampSteps = 7

// ramp are the colours of rates, the lowest first, in one hue. By light the most is
// the darkest; on a dark ground the most is the brightest: what there is more of
// stands out more from its ground. ramp_test.go holds the steps apart.
var ramp = [2][rampSteps]string{
	light: {"#dfedf4", "#c1dbe8", "#a0c8dd", "#81b5d1", "#62a1c3", "#448eb4", "#19729b"},
	dark:  {"#26425b", "#2a5978", "#2e7194", "#4291b8", "#67aed2", "#97cbe5", "#cae7f5"},
}

// onRamp are the colours of text on the ramp.
var onRamp = [2][rampSteps]string{
	light: {darkText, darkText, darkText, darkText, darkText, darkText, lightText},
	dark:  {lightText, lightText, lightText, darkText, darkText, darkText, darkText},
}

const (
	darkText  = "#14130f"
	lightText = "#ffffff"
)

// rampStep returns the step of a rate between the ends of the ramp: sevenths of the
// way, the middle step where all is one rate, -1 where there is no rate.
func rampStep(rate, low, high float64) int {
	switch {
	case math.IsNaN(rate) || math.IsInf(rate, 0):
		return -1
	case !(low < high):
		return rampSteps / 2
	}
	step := math.Floor((rate - low) / (high - low) * rampSteps)
	return int(max(0, min(rampSteps-1, step)))
}

// finding is how a kind of patch is drawn. Colour is never all that tells two
// apart: each has a letter, and those that share a pattern differ in letter and
// in lightness or hue.
type finding struct {
	Kind    string `json:"-"`
	Title   string `json:"title"`
	Light   string `json:"light"`
	Dark    string `json:"dark"`
	Pattern string `json:"pattern"`
	Letter  string `json:"letter"`
}

// findings in the order in which they are drawn: what matters most lies on top.
// Rates are blue, findings are warm or grey, for blue and yellow stay apart under
// the common deficiencies of colour vision.
var findings = []finding{
	{"lapped", "Lapped within a pass", "#77705f", "#a49c88", "bars", "P"},
	{"unprescribed", "Applied where none was prescribed", "#4b4b4b", "#c4c4c4", "ring", "U"},
	{"outside", "Applied outside the field", "#8b5a2b", "#d9a066", "ring", "O"},
	{"off_limits", "Applied off limits", "#7a1f00", "#ff9d73", "cross", "X"},
	{"heavy", "Too heavy", "#5c3a21", "#d8b08c", "bars", "H"},
	{"light", "Too light", "#8a6100", "#e3b341", "dots", "L"},
	{"shallow", "Too shallow", "#8e2368", "#f08cc8", "hatch", "S"},
	{"doubled", "Doubled", "#5b2a86", "#c79bf2", "cross", "D"},
	{"missed", "Missed", "#b3300f", "#ff7a55", "solid", "M"},
}

// other draws kinds that nobody has told this package of.
var other = finding{"other", "Other", "#333333", "#dddddd", "hatch", "?"}

// findingOf returns how a kind is drawn, and its place in the order of drawing.
func findingOf(kind string) (finding, int) {
	for i, f := range findings {
		if f.Kind == kind {
			return f, i
		}
	}
	return other, -1
}

// inks are the colours of everything but rates and findings, light and dark.
var inks = map[string][2]string{
	"paper":    {"#fbf9f4", "#16181a"},
	"ground":   {"#f1ede2", "#24272a"}, // the field where no rate is prescribed
	"patch":    {"#fffdf8", "#101214"}, // below the pattern of a finding
	"text":     {"#1c1b18", "#efece4"},
	"quiet":    {"#5d594f", "#b3aea2"}, // text of less weight
	"line":     {"#2f2c26", "#e2ded3"}, // the boundary
	"hair":     {"#8f8a7c", "#5b6068"}, // between zones
	"limits":   {"#6a665b", "#9d988b"}, // the hatch of what is off limits
	"limitsOn": {"#e9e4d6", "#2c2f33"}, // and its ground
	"alarm":    {"#a3280b", "#ff8d6b"},
}

// colour returns an ink by name in a theme: of the map above, a step of the ramp as
// r0 to r6, the text on it as t0 to t6, a choice as c0 and on, or a finding as k-KIND.
func colour(ink string, th theme) string {
	if c, ok := inks[ink]; ok {
		return c[th]
	}
	if c, ok := choiceAt(ink); ok {
		return [2]string{c.Light, c.Dark}[th]
	}
	if len(ink) == 2 && ink[1] >= '0' && ink[1] < '0'+rampSteps {
		if ink[0] == 'r' {
			return ramp[th][ink[1]-'0']
		}
		return onRamp[th][ink[1]-'0']
	}
	f, _ := findingOf(ink[len("k-"):])
	return [2]string{f.Light, f.Dark}[th]
}

// inkNames are all names that colour knows, in a fixed order.
func inkNames() []string {
	names := []string{"paper", "ground", "patch", "text", "quiet", "line", "hair", "limits", "limitsOn", "alarm"}
	for i := range rampSteps {
		names = append(names, "r"+digit(i), "t"+digit(i))
	}
	for _, f := range findings {
		names = append(names, "k-"+f.Kind)
	}
	for i := range choiceInks {
		names = append(names, choicePattern(i))
	}
	return append(names, "k-"+other.Kind)
}

func digit(i int) string { return string(rune('0' + i)) }
