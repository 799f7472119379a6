package rates

import (
	"fmt"
	"slices"

	"ratewright/geo/unit"
	"ratewright/rx"
	"ratewright/rx/nitrogen/response"
)

// Mean is what a mean return over trials is worked out from.
type Mean struct {
	Model    response.Model
	Sites    []response.Site
	Practice response.Practice // that the trials had in common
	Prices   response.Prices
	Within   unit.Return // of the best mean return
	Options  response.Options
}

// chartPoints is how many points the chart of the mean return has.
const chartPoints = 41

// MeanCurve is the mean return over trials by rate.
type MeanCurve struct {
	Chart []response.Point // from no nitrogen on
	Best  response.Point
	Near  *response.Range // rates within a sum of the best; nil where none was asked for
}

// FromMean gives every zone the rate of the largest mean return over trials, and the
// curve of mean returns for a chart. Trials that do not respond count, as response
// says.
func FromMean(zones []rx.Zone, in Mean) (Result, MeanCurve, error) {
	out, curve := Result{Method: "mean return over trials", Practice: in.Practice}, MeanCurve{}
	sites, err := response.FitSites(in.Model, in.Sites, in.Options)
	if err != nil {
		return out, curve, err
	}
	out.Notes = append(out.Notes, sites.Notes...)
	mean, err := response.NewMean(sites.Members)
	if err != nil {
		return out, curve, err
	}
	o, err := mean.Optimum(in.Prices)
	if err != nil {
		return out, curve, err
	}
	out.Notes = append(out.Notes, o.Notes...)
	u := in.Options.Units
	reasons := []string{
		o.Why,
		fmt.Sprintf("mean return over no nitrogen %s; the nitrogen costs %s", u.Return(o.Return), u.Return(o.NCost)),
	}
	if o.Warning != "" {
		reasons = slices.Insert(reasons, 1, o.Warning)
	}
	if in.Within > 0 {
		r, err := mean.Within(in.Prices, in.Within)
		if err != nil {
			return out, curve, err
		}
		curve.Near = &r
		reasons = append(append(reasons, r.Words()), r.Notes...)
	}
	reasons = append(reasons, in.Practice.Words())
	if len(sites.Members) == 1 {
		out.Notes = append(out.Notes, "one trial is no mean over trials: its optimum is that of its place and year, and method response tells how well it is known")
	}
	out.one(zones, o, "mean of "+trials(len(sites.Members)), reasons)
	highest := o.Rate // which may lie beyond what was tested
	for _, m := range mean.Members {
		highest = max(highest, m.Curve.Highest, m.Curve.Join)
	}
	curve.Best = o.Point
	if curve.Chart, err = mean.Points(in.Prices, highest, chartPoints); err != nil {
		return out, curve, err
	}
	err = Response{Prices: in.Prices, Options: in.Options}.moved(&out, func(p response.Prices) (unit.NRate, error) {
		o, err := mean.Optimum(p)
		return o.Rate, err
	})
	return out, curve, err
}

// trials counts them.
func trials(n int) string {
	if n == 1 {
		return "1 trial"
	}
	return fmt.Sprintf("%d trials", n)
}
