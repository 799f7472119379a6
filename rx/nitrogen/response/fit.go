package response

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"ratewright/geo/unit"
)

// Fit is a curve fitted to observations.
type Fit struct {
	Curve        Curve
	Practice     Practice
	Observations int
	Rates        int     // distinct
	SSE          float64 // residual sum of squares, (kg/ha)²
	DF           int     // residual degrees of freedom: observations less three
	Sigma        float64 // residual standard deviation, kg/ha
	RSquared     float64 // share of the sum of squares about the mean
	ResponseP    float64 // chance of as strong a response where there is none (F test; approximate where there is a join)
	Exact        bool    // the curve goes through every observation: no scatter tells of its error
	Notes        []string

	trial *trial
	para  parabola // of a quadratic
}

// FitCurve fits one of the three forms by least squares, to kg N/ha and kg/ha.
// Replicated rates weigh as often as they were put down. The order of the
// observations does not matter. It refuses (*Refusal) observations that are
// none, fewer than four distinct rates, a quadratic that bends upward, yields
// that do not respond, a join before the second rate, and a form with a join
// where yield rises straight to the highest rate. For Best, see Choose.
func FitCurve(m Model, obs []Observation, p Practice, o Options) (Fit, error) {
	t, err := newTrial(obs, o)
	if err != nil {
		return Fit{}, err
	}
	return fitTrial(m, t, p, o)
}

func fitTrial(m Model, t *trial, p Practice, o Options) (Fit, error) {
	f := Fit{Practice: p, Observations: t.obs, Rates: len(t.levels), DF: t.df(), trial: t}
	if t.tiny(t.total) {
		return Fit{}, unresponsive(t)
	}
	var fault *Refusal
	switch m {
	case Quadratic:
		f.para = fitParabola(t)
		f.Curve, f.SSE = f.para.curve(t), f.para.sse
		if !f.para.bends(t) {
			fault = convex(t, f.para)
		}
	case QuadraticPlateau, LinearPlateau:
		var j joined
		j, fault = fitJoined(t, m)
		f.Curve, f.SSE = j.curve, j.sse
	default:
		return Fit{}, refuse(BadCurve, "%s is no form to fit; take quadratic, quadratic-plateau or linear-plateau", m)
	}
	f.Curve.Lowest, f.Curve.Highest, f.Curve.Units = rateAt(t, 0), rateAt(t, 1), t.units
	f.Curve = f.Curve.Held(o.MostBeyond)
	f.judge()
	silent := f.responds(m, o)
	switch {
	case fault == nil && silent == nil:
		f.note()
		return f, nil
	case fault == nil:
		return Fit{}, silent
	case silent != nil && !fault.Level:
		fault.Level = true
		fault.Why += "; besides, " + silent.Why
	}
	return Fit{}, fault
}

func (f *Fit) judge() {
	if f.trial.tiny(f.SSE) {
		f.SSE = 0
	}
	f.Exact = f.SSE <= float64(f.Observations)*math.Pow(noScatter*f.trial.mean, 2)
	f.Sigma = math.Sqrt(f.SSE / float64(f.DF))
	f.RSquared = 1 - f.SSE/f.trial.total
	if f.SSE > 0 {
		ratio := (f.trial.total - f.SSE) / (coefficients - 1) / (f.SSE / float64(f.DF))
		f.ResponseP = survival(ratio, coefficients-1, f.DF)
	}
}

// survival is the chance of an F above a value. Below zero there is all of it.
func survival(f float64, df1, df2 int) float64 {
	if !(f > 0) {
		return 1
	}
	return distuv.F{D1: float64(df1), D2: float64(df2)}.Survival(f)
}

// responds refuses a trial that cannot be told from one without response.
func (f *Fit) responds(m Model, o Options) *Refusal {
	level := o.ResponseLevel
	if f.DF < o.SmallTrial {
		level = min(level, o.SmallResponseLevel)
	}
	if f.ResponseP <= 1-level {
		return nil
	}
	return refuse(Unresponsive, "the yields do not respond to nitrogen: a %s as strong as this one arises by chance in %.0f of 100 trials without response (F test, asked for: at most %.0f); the optimum is 0 or cannot be estimated",
		m, 100*f.ResponseP, 100*(1-level))
}

// note tells what the reader of a fit must know.
func (f *Fit) note() {
	t, u := f.trial, f.trial.units
	join := (f.Curve.Join.KgNPerHa() - t.lowest) / t.span
	below := 1.0
	for _, v := range t.levels {
		if v < 1 {
			below = v
		}
	}
	switch {
	case !f.Curve.hasJoin():
	case join > 1:
		f.add("the join of %s lies beyond the highest tested rate of %s: no plateau was seen, and the curve is the plain quadratic", u.NRate(f.Curve.Join), u.NRate(f.Curve.Highest))
	case join > below:
		f.add("the plateau rests on the highest tested rate of %s alone", u.NRate(f.Curve.Highest))
	}
	if f.Curve.Lowest > 0 {
		f.add("no plot went without nitrogen: what is said below %s, and the return over no nitrogen, is extrapolated", u.NRate(f.Curve.Lowest))
	}
	switch {
	case f.Exact:
		f.add("the curve goes through every observation, so that there is no scatter to judge its error by; measured yields scatter")
	case f.DF < smallTrial:
		f.add("the fit rests on %s of freedom for error; it says little about its own certainty", plural(f.DF, "degree"))
	}
}

func (f *Fit) add(format string, args ...any) {
	f.Notes = append(f.Notes, fmt.Sprintf(format, args...))
}

func rateAt(t *trial, u float64) unit.NRate { return unit.KgNPerHa(t.lowest + t.span*u) }

func convex(t *trial, q parabola) *Refusal {
	return refuse(Convex, "the fitted quadratic bends upward (is convex) or is straight (C is %s): its turning point would be the worst rate and not the best, so it has no optimum",
		grainOf(t.units).bend(q.d2/(t.span*t.span)))
}

func unresponsive(t *trial) *Refusal {
	return refuse(Unresponsive, "the yields of the %s do not rise with nitrogen: the optimum is 0 or cannot be estimated", plural(t.obs, "observation"))
}

func tooEarly(t *trial) *Refusal {
	return refuse(JoinTooEarly, "the plateau begins before the second tested rate, %s: one rate alone lies below the join, so that any join up to there fits alike and the optimum is 0 or cannot be estimated; the trial needs lower rates",
		t.units.NRate(rateAt(t, t.levels[1])))
}

func noPlateau(t *trial) *Refusal {
	return refuse(NoPlateau, "the yields rise to the highest tested rate, %s, without bending: no plateau was seen and the optimum cannot be estimated; the trial needs higher rates",
		t.units.NRate(rateAt(t, 1)))
}

func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
