package job

import (
	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/response"
	"ratewright/rx/rates"
)

// PricesSpec are what nitrogen costs and what grain brings.
type PricesSpec struct {
	N     unit.NPrice
	Grain unit.GrainPrice
	// Sources are prices of products, by source; Inhibitors what these cost.
	Sources    map[string]unit.ProductPrice
	Inhibitors map[string]InhibitorPrice
}

// MethodSpec says how the rates of an application are worked out. One of its parts
// is set.
type MethodSpec struct {
	Name     string // as the job words it
	Response *ResponseSpec
	Mean     *MeanSpec
	Budget   *BudgetSpec
	line     int
}

// ResponseSpec is the optimum of a response curve, fitted to a trial or given.
type ResponseSpec struct {
	Model    response.Model
	Trial    *TrialSpec
	Curve    *response.Curve
	Curves   map[string]response.Curve // by zone
	Practice response.Practice
	Within   unit.Return
	Level    float64 // of confidence
	// Otherwise is the rate of zones without a curve; nil refuses them.
	Otherwise *rates.Otherwise
}

// MeanSpec is the rate of the largest mean return over the trials of a file.
type MeanSpec struct {
	Model    response.Model
	Trial    *TrialSpec // with a column for the site
	Practice response.Practice
	Within   unit.Return
}

// TrialSpec is a file of plots: a table, or features with the two as attributes.
type TrialSpec struct {
	TableSpec
	RateKgHa  float64 // in one unit of the rate column
	YieldKgHa float64 // in one unit of the yield column
}

// TableSpec is a file of rows: a table with a header, or features with attributes.
type TableSpec struct {
	File    string
	CRS     string
	Columns map[string]string // role to column
	line    int
}

// files are those that a method reads.
func (r *RateSpec) files() []string {
	if r != nil && r.Plan != "" {
		return []string{r.Plan}
	}
	if r == nil || r.Method == nil { // a part of the target reads nothing itself
		return nil
	}
	var files []string
	if s := r.Method.Response; s != nil && s.Trial != nil {
		files = append(files, s.Trial.File)
	}
	if s := r.Method.Mean; s != nil && s.Trial != nil {
		files = append(files, s.Trial.File)
	}
	return files
}
