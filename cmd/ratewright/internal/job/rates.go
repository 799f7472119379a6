package job

import (
	"errors"
	"fmt"

	"ratewright/geo/vector"
	"ratewright/rx"
	"ratewright/rx/nitrogen/response"
	"ratewright/rx/rates"
)

// works gives an application the rates that its method works out for the zones.
func (o *opener) works(j Job, a ApplicationSpec, app *rx.Application, zones []rx.Zone) (*Worked, error) {
	if a.Rate == nil || a.Rate.Method == nil {
		return nil, nil
	}
	w, err := o.work(j, a, zones)
	if err != nil {
		return nil, j.ofMethod(a, err)
	}
	app.Rate = w.Result.Rule(j.Units)
	o.notes = append(o.notes, w.Result.Notes...)
	return &w, nil
}

// Worked is what a method gave for an application.
type Worked struct {
	Result rates.Result
	Chart  []response.Point // of a mean return over trials
}

func (o *opener) work(j Job, a ApplicationSpec, zones []rx.Zone) (w Worked, err error) {
	m := a.Rate.Method
	prices := response.Prices{N: j.Prices.N, Grain: j.Prices.Grain}
	switch {
	case m.Response != nil:
		w.Result, err = o.fromResponse(m.Response, prices, zones)
	case m.Mean != nil:
		w.Result, w.Chart, err = o.fromMean(m.Mean, prices, zones)
	}
	return w, err
}

func (o *opener) fromResponse(s *ResponseSpec, prices response.Prices, zones []rx.Zone) (rates.Result, error) {
	in := rates.Response{
		Model: s.Model, Curve: s.Curve, Practice: s.Practice, Prices: prices, Within: s.Within, Level: s.Level,
		Options: response.DefaultOptions(),
	}
	if s.Trial != nil {
		var err error
		if in.Trial, _, err = o.observations(s.Trial); err != nil {
			return rates.Result{}, err
		}
		in.ByZone = s.Trial.Columns["zone"] != ""
	}
	return rates.FromResponse(zones, in)
}

func (o *opener) fromMean(s *MeanSpec, prices response.Prices, zones []rx.Zone) (rates.Result, []response.Point, error) {
	obs, sites, err := o.observations(s.Trial)
	if err != nil {
		return rates.Result{}, nil, err
	}
	in := rates.Mean{Model: s.Model, Prices: prices, Within: s.Within, Options: response.DefaultOptions()}
	at := map[string]int{}
	for i, ob := range obs {
		k, seen := at[sites[i]]
		if !seen {
			k = len(in.Sites)
			at[sites[i]] = k
			in.Sites = append(in.Sites, response.Site{Name: sites[i]})
		}
		in.Sites[k].Observations = append(in.Sites[k].Observations, ob)
	}
	return rates.FromMean(zones, in)
}

// ofMethod names the job's line in an error that names no file.
func (j Job) ofMethod(a ApplicationSpec, err error) error {
	var input *vector.InputError
	if errors.As(err, &input) {
		return err
	}
	fix := "see what the method needs in README"
	var refusal *response.Refusal
	if errors.As(err, &refusal) {
		fix = "look at the trial, or take another method"
	}
	return &vector.InputError{
		File: j.Path, Place: fmt.Sprintf("line %d", a.Rate.Method.line),
		What: fmt.Sprintf("application %s: %s", a.Name, err), Fix: fix,
	}
}
