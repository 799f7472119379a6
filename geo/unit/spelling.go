package unit

import (
	"slices"
	"strings"
)

// entry is one unit: the name the trade prints, its factor to the SI unit of
// its kind, and further spellings, UCUM codes among them.
type entry struct {
	name   string
	factor float64
	also   []string
}

// kind is one dimension with the units it may be given in.
type kind struct {
	noun    string // with its article: "a length"
	example string
	units   []entry
	over    [2]*kind // when set, "a/b" of these kinds fits too
	closed  bool     // no other unit than those listed, however spelled
}

// find returns the unit that a text spells. UCUM codes are tried as written;
// the rest is read without regard to case, spacing or a closing full stop.
func (k *kind) find(s string) (entry, bool) {
	s = strings.TrimSpace(s)
	for _, try := range []string{s, plain(s)} {
		if e, ok := k.listed(try); ok {
			return e, true
		}
	}
	above, below, ok := cutPer(s)
	if !ok || k.over[0] == nil {
		return entry{}, false
	}
	a, okA := k.over[0].find(above)
	b, okB := k.over[1].find(below)
	if !okA || !okB {
		return entry{}, false
	}
	name := a.name + "/" + b.name
	if e, ok := k.listed(name); ok {
		return e, true
	}
	return entry{name: name, factor: a.factor / b.factor}, !k.closed
}

// listed looks a spelling up as it stands.
func (k *kind) listed(s string) (entry, bool) {
	for _, e := range k.units {
		if s == e.name || slices.Contains(e.also, s) {
			return e, true
		}
	}
	return entry{}, false
}

// cutPer splits "lb/ac" or "lb per ac" in two.
func cutPer(s string) (above, below string, ok bool) {
	words := strings.Fields(s)
	for i, w := range words {
		if strings.EqualFold(w, "per") {
			words[i] = "/"
		}
	}
	return strings.Cut(strings.Join(words, " "), "/")
}

// plain folds a spelling to lower case with single spaces. "T" is left alone:
// in the US it means the short ton, elsewhere the tonne.
func plain(s string) string {
	s = strings.TrimSuffix(strings.Join(strings.Fields(s), " "), ".")
	if s == "T" {
		return s
	}
	return powers.Replace(strings.ToLower(s))
}

var powers = strings.NewReplacer("²", "2", "^2", "2", "³", "3", "^3", "3")

// names lists the units of a kind for a message.
func (k *kind) names() string {
	var out []string
	for _, e := range k.units {
		out = append(out, e.name)
	}
	return strings.Join(out, ", ")
}

var (
	lengths = &kind{noun: "a length", example: "60 ft", units: []entry{
		{"m", 1, []string{"metre", "metres", "meter", "meters"}},
		{"cm", 0.01, []string{"centimetre", "centimetres", "centimeter", "centimeters"}},
		{"mm", 0.001, []string{"millimetre", "millimetres", "millimeter", "millimeters"}},
		{"km", 1000, []string{"kilometre", "kilometres", "kilometer", "kilometers"}},
		{"ft", foot, []string{"foot", "feet", "[ft_i]"}},
		{"in", inch, []string{"inch", "inches", "[in_i]"}},
		{"yd", 3 * foot, []string{"yard", "yards", "[yd_i]"}},
		{"mi", mile, []string{"mile", "miles", "[mi_i]"}},
		{"ftUS", surveyFoot, []string{"ftus", "us-ft", "us survey ft", "us survey foot", "us survey feet", "[ft_us]"}},
	}}
	areas = &kind{noun: "an area", example: "0.01 ac", units: []entry{
		{"m2", 1, []string{"sq m", "square metre", "square metres", "square meter", "square meters"}},
		{"ha", hectare, []string{"hectare", "hectares", "har"}},
		{"ac", acre, []string{"acre", "acres", "[acr_us]"}},
		{"ft2", foot * foot, []string{"sq ft", "square foot", "square feet", "[sft_i]"}},
	}}
	masses = &kind{noun: "a mass", example: "2000 lb", units: []entry{
		{"kg", 1, []string{"kilogram", "kilograms"}},
		{"g", 0.001, []string{"gram", "grams"}},
		{"t", 1000, []string{"tonne", "tonnes", "Mg", "metric ton", "metric tons"}},
		{"lb", pound, []string{"lbs", "pound", "pounds", "[lb_av]"}},
		{"short ton", shortTon, []string{"short tons", "ton", "tons", "[ston_av]"}},
	}}
	volumes = &kind{noun: "a volume", example: "1600 gal", units: []entry{
		{"L", 1, []string{"l", "litre", "litres", "liter", "liters"}},
		{"m3", 1000, []string{"cubic metre", "cubic metres", "cubic meter", "cubic meters"}},
		{"gal", gallon, []string{"gals", "gallon", "gallons", "us gal", "us gallon", "us gallons", "[gal_us]"}},
	}}
	durations = &kind{noun: "a duration", example: "5 s", units: []entry{
		{"s", 1, []string{"sec", "secs", "second", "seconds"}},
		{"ms", 0.001, []string{"millisecond", "milliseconds"}},
		{"min", 60, []string{"mins", "minute", "minutes"}},
		{"h", hour, []string{"hr", "hrs", "hour", "hours"}},
	}}
	fractions = &kind{noun: "a share", example: "10 %", units: []entry{
		{"%", 0.01, []string{"percent", "per cent", "pct"}},
	}}
	densities = &kind{noun: "a density", example: "11.06 lb/gal", over: [2]*kind{masses, volumes}, units: []entry{
		{"kg/L", 1, nil},
		{"lb/gal", pound / gallon, nil},
		{"kg/m3", 0.001, nil},
		{"g/cm3", 1, []string{"g/cc", "g/mL", "g/ml"}},
	}}
	speeds = &kind{noun: "a speed", example: "6 mph", over: [2]*kind{lengths, durations}, units: []entry{
		{"m/s", 1, nil},
		{"km/h", 1000 / hour, []string{"kmh", "kph"}},
		{"mph", mile / hour, nil},
	}}
	massFlows = &kind{noun: "a flow", example: "lb/min", over: [2]*kind{masses, durations}, units: []entry{
		{"kg/s", 1, nil},
		{"kg/h", 1 / hour, nil},
		{"lb/s", pound, nil},
		{"lb/min", pound / 60, nil},
	}}
	volumeFlows = &kind{noun: "a flow", example: "gal/min", over: [2]*kind{volumes, durations}, units: []entry{
		{"L/s", 1, nil},
		{"L/min", 1.0 / 60, nil},
		{"gal/min", gallon / 60, []string{"gpm"}},
	}}
	massRates = &kind{noun: "a rate", example: "180 lb/ac", closed: true, over: [2]*kind{masses, areas}, units: []entry{
		{"lb/ac", pound / acre * hectare, nil},
		{"kg/ha", 1, nil},
		{"short ton/ac", shortTon / acre * hectare, nil},
		{"t/ha", 1000, nil},
	}}
	volumeRates = &kind{noun: "a rate", example: "40 gal/ac", closed: true, over: [2]*kind{volumes, areas}, units: []entry{
		{"gal/ac", gallon / acre * hectare, []string{"gpa"}},
		{"L/ha", 1, nil},
	}}
	kinds = []*kind{
		lengths, areas, masses, volumes, durations, fractions,
		densities, speeds, massFlows, volumeFlows, massRates, volumeRates,
	}
)
