package job

import (
	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/budget"
)

// Job is a decoded job file. Paths are resolved against its folder. A pointer is
// nil where the file says nothing and there is no default.
type Job struct {
	Path         string // of the job file
	Units        unit.System
	Field        FieldSpec
	Zones        *ZonesSpec
	Sources      []SourceSpec
	Machines     []MachineSpec
	Prices       *PricesSpec
	Target       *RateSpec // of nitrogen for the season
	Weather      *WeatherSpec
	Crop         *CropSpec
	Applications []ApplicationSpec
	Losses       LossSpec
	Plan         *PlanSpec
	Strategies   []StrategySpec
	Supply       []SupplySpec
	Work         []WorkSpec
	Comparison   ReconcileSpec
	Accept       []AcceptSpec
	AcceptNot    []string // keys of warnings that are findings
}

// FieldSpec says where the boundary and what is cut out of it stand.
type FieldSpec struct {
	Name     string
	Boundary string
	Where    []Equal // all must hold
	Exclude  []string
	Setbacks []SetbackSpec
	CRS      string // of files that declare none
	line     int
}

// Equal keeps the features whose column holds the text, or the same number.
type Equal struct{ Column, Text string }

// SetbackSpec is a distance kept from the features of a file.
type SetbackSpec struct {
	Around   string
	Distance unit.Length
}

// ZonesSpec says which file holds the zones and what its columns mean.
type ZonesSpec struct {
	LayerSpec
	Layers  []LayerSpec // laid over the first
	MinPart unit.Area   // smaller parts of what comes of it join a neighbour
	// Overlap, Gaps and Slivers are rules for zones that do not fit together.
	Overlap string
	Gaps    string
	Slivers *unit.Area // nil: the default of package rx
	Samples []SampleSpec
	Images  []ImageSpec
	Cluster *ClusterSpec // in place of a file
	line    int
}

// LayerSpec is one division of the field into zones.
type LayerSpec struct {
	File    string
	ID      string
	Columns map[string]string // role to column
	CRS     string
	Soil    *SoilSpec
}

// SoilSpec says where the tables of the soil survey stand whose map units the zones
// are.
type SoilSpec struct {
	Tables   string // folder
	Key      string // column of the zones with the map unit's key
	From, To unit.Length
}

// MachineSpec is the bar of a machine. The bar's position is Behind and Right of
// the logged one.
type MachineSpec struct {
	Name  string
	Width unit.Length // zero where the log has it by record
	// SectionCount counts equal sections; SectionWidths are those of unequal
	// ones, left to right, and add up to Width. With neither the log decides.
	SectionCount  int
	SectionWidths []unit.Length
	Behind, Right unit.Length
	Lag           unit.Duration
}

// ApplicationSpec is one planned trip.
type ApplicationSpec struct {
	Name         string
	Source       string
	Placement    string
	Depth        *unit.Length
	Care         CareSpec
	Shallow      *unit.Length
	Date         string
	Inhibitor    string       // of urease, nitrification or both; none where empty
	Incorporate  *TillageSpec // the later trip that works it in, nil for none
	Machine      string
	Rate         *RateSpec
	Limits       LimitsSpec
	Starter      *StarterSpec
	TankVolume   unit.Volume
	TankMass     unit.Mass
	Map          MapSpec
	Prescription *MapFileSpec
	Logs         []LogSpec
	line         int
	sourceLine   int
}

// RateSpec says where the rates of the zones come from: a column, a table by zone id,
// a method that works them out, a part of the season's target, or the choice of a plan.
type RateSpec struct {
	Column string
	Table  map[string]float64
	Method *MethodSpec
	Part   *budget.Part // of the season's target
	Plan   string       // file of a plan whose choice it is
	Unit   unit.RateUnit
	Of     unit.Of
	line   int
}

// LimitsSpec bounds and rounds rates.
type LimitsSpec struct {
	Min, Max, Step *unit.Rate
	Of             unit.Of
}

// MapSpec says what the rate map carries. Unit is nil where it follows from the
// source and the units of the job.
type MapSpec struct {
	Of            unit.Of
	Unit          *unit.RateUnit
	ZeroOffLimits bool
	Name          string
}

// MapFileSpec names a rate map of somebody else and what its column counts.
type MapFileSpec struct {
	File, Column, ID, CRS string
	Unit                  unit.RateUnit
	Of                    unit.Of
}

// LogSpec is one entry under logs.
type LogSpec struct {
	Files   []string
	Machine string
	Columns map[string][]string // role to columns
	Units   map[string]string   // role to unit
	Of      *unit.Of
	MaxGap  *unit.Duration
	Zone    string // name of a time zone
	CRS     string
	line    int
}

// ReconcileSpec holds the settings of the comparison.
type ReconcileSpec struct {
	Tolerance float64 // share of the prescribed rate
	MinPatch  unit.Area
	NoPatches bool // only the sums are wanted
}

// AcceptSpec is the largest share of a finding that the job accepts.
type AcceptSpec struct {
	Finding string
	Share   float64
}

// SourceSpec is a source that the job defines.
type SourceSpec struct {
	Name, Label, Grade string
	Like               string        // a known source or one above
	Density            *unit.Density // of the source, or in place of that of Like
	// Shares of the product's mass as nitrogen of each kind.
	Nitrogen, Urea, Ammonium, Nitrate *float64
	Blend                             []BlendPart
	ByVolume                          bool
	line                              int
}

// BlendPart is one source of a blend and its share of the blend.
type BlendPart struct {
	Source string
	Share  float64
}

// The rules for zones that do not fit together: what happens to ground that two
// zones cover, and to ground that none does. The first is the default.
var (
	overlapRules = []string{"refuse", "first", "last"}
	gapRules     = []string{"unzoned", "refuse", "fill"}
)
