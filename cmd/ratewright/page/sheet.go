package page

import "github.com/paulmach/orb"

// Sheet is what a page says. All text comes from files or from the caller and is
// text, never markup: it may hold anything and be of any length. Numbers are finite
// unless a field says otherwise.
type Sheet struct {
	Kind    Kind
	Field   string
	Subject string // the application and its source, such as "sidedress, UAN 32"
	Date    string
	Ground  string // how large the field is, with its unit; "" for not said
	// Lead are the few figures to be seen first, the most important before others.
	Lead []Figure
	// Tables are the summary, in the units of the job.
	Tables  []Table
	Chart   *Chart // nil for none
	Courses []Course
	// Found is what the figures of the tables say, to be read before them.
	Found []string
	// Warnings are what may go wrong, to be read before others; so many of them go on
	// paper, 0 for all.
	Warnings        []string
	WarningsOnPaper int
	Notes           []string
	Cautions        []string
	Inputs          []Input
	Program         string // version of the program
	Rest            string // the file that has what is left out on paper, "" for the page alone
	Map             Map
}

// Kind is what a sheet is about.
type Kind string

// The kinds of sheets.
const (
	Prescription   Kind = "prescription"
	Reconciliation Kind = "reconcile"
	Rates          Kind = "rates"
	Plan           Kind = "plan"
	Losses         Kind = "loss"
)

// Figure is a number with its name and unit, as text.
type Figure struct {
	Name, Value, Unit string
	// Key says which figure of the JSON beside the page this is, such as
	// "area_m2.missed"; "" for none.
	Key string
	// Alarm marks a figure that asks to be looked at.
	Alarm bool
	// More is a few words below it, "" for none.
	More string
}

// Table is a table of the summary. The first column is text, others are numbers.
type Table struct {
	Title string
	Head  []string
	Units []string // a line of units below the head, or nil
	Rows  [][]Cell
	Words int // so many first columns hold words; 0 is one
	// Paper is how many rows go on paper, 0 for as many as a sheet has room for, with the
	// number of the others and Rest, the file that has them. The Last rows of a table are
	// its sums and go there in any case. A table that is OffPaper stays on the
	// page alone.
	Paper    int
	Rest     string
	Last     int
	OffPaper bool
}

// Cell is a cell of a table; Key as in Figure.
type Cell struct{ Text, Key string }

// Input is a file that the result was made from.
type Input struct{ Name, SHA256 string }

// Map is what there is to draw, in metres of a plane: x east, y north.
type Map struct {
	Lon0, Lat0 float64 // of the plane's origin, degrees
	Boundary   orb.MultiPolygon
	OffLimits  []Place
	Zones      []Zone
	Choices    []Choice // what zones can get; none where nothing was chosen among
	RateTitle  string   // what the rates of zones are; "" for what is prescribed
	RateUnit   string   // of every rate on the map, such as "lb N/ac"
	DepthUnit  string   // of every depth, such as "in"
	Patches    []Patch
	Tracks     *Tracks // nil where nothing was driven
	Shallow    float64 // the depth limit in DepthUnit, 0 for none
	// LowRate and HighRate are the ends of the ramp of colours, in RateUnit; equal
	// where all is one rate.
	LowRate, HighRate float64
}

// Place is named ground.
type Place struct {
	Name     string
	Polygons orb.MultiPolygon
}

// Zone is ground of one prescribed rate.
type Zone struct {
	ID       string
	Polygons orb.MultiPolygon
	Rate     float64  // in RateUnit; NaN where none is prescribed
	Label    string   // the rate as the map prints it
	Why      []string // the reasons for the rate, a line each
	Choice   string   // the letter of what it gets, "" for none
	Story    []Line   // what more is to be said of it
}

// Line is something said under a name.
type Line struct{ Name, Words string }

// Patch is a connected area of one finding.
type Patch struct {
	Kind     string // as in reconcile.json: "missed", "doubled", "light", ...
	Title    string // the same for people
	Zone     string // its zone, "" for none
	Polygons orb.MultiPolygon
	AreaM2   float64
	Area     string // with its unit
	NKg      float64
	N        string // put down there, with its unit; "" where not known
	ShortKg  float64
	Short    string // below the prescription there, with its unit; "" where not known
}

// Stride is what a run of equal sections covered between two records: the quad from
// the back bar to the front bar.
type Stride struct {
	Quad [4][2]float32 // back left, back right, front right, front left; metres
	// From and To are its stretch of the odometer, in units of the distance that
	// parts two visits: a spot is visited again where a stride begins more than a
	// unit beyond the end of all before it.
	From, To float64
	Time     float64 // seconds since 1970 UTC of its record; NaN without
	Rate     float32 // put down, in RateUnit; NaN unknown
	Depth    float32 // in DepthUnit; NaN unknown
}
