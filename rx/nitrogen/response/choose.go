package response

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// Rule is how Choose chooses, as a sentence for the user.
const Rule = "best: of quadratic, linear-plateau and quadratic-plateau, the one with the least AICc; as each has three coefficients, that is the least residual sum of squares. Ties go to the first in that order, and a form that is refused is out; but where a plateau that begins before the second rate fits clearly better than what is left, none is taken"

// Choice is the form that Choose took, and why.
type Choice struct {
	Fit   Fit
	Tried []Tried // in the order of Rule
	Rule  string
	Why   string
}

// Tried is one form that Choose tried.
type Tried struct {
	Model   Model
	Fit     Fit      // meaningless where Refusal
	Refusal *Refusal // nil for a fit
	// DeltaAICc is AICc above that of the form taken, n ln(SSE / least SSE).
	// Source: Hurvich & Tsai 1989, Biometrika 76:297-307 (from memory); the
	// correction is the same for all three and falls out.
	// HasDelta is false where a form goes through every point.
	DeltaAICc float64
	HasDelta  bool
}

// Choose fits the three forms and takes one by Rule. Where all are refused, so
// is the choice, with the sentence of each.
func Choose(obs []Observation, p Practice, o Options) (Choice, error) {
	t, err := newTrial(obs, o)
	if err != nil {
		return Choice{}, err
	}
	c, err := choose(t, p, o)
	if err != nil {
		return c, err
	}
	if early := plateauFirst(t, c.Fit); early != nil {
		return Choice{}, early
	}
	return c, nil
}

// plateauFirst refuses a trial whose yields stand at a plateau from before the second rate
// on: a form that is not made for that bends through them and has its optimum in between.
func plateauFirst(t *trial, taken Fit) *Refusal {
	for _, m := range []Model{LinearPlateau, QuadraticPlateau} {
		j, fault := fitJoined(t, m)
		if fault == nil || fault.Reason != JoinTooEarly || t.tiny(taken.SSE) {
			continue
		}
		if t.tiny(j.sse) || float64(t.obs)*math.Log(taken.SSE/j.sse) > closeAICc {
			fault.Why = fmt.Sprintf("%s; a %s fits worse, and its optimum lies where nothing tells of it", fault.Why, taken.Curve.Model)
			return fault
		}
	}
	return nil
}

func choose(t *trial, p Practice, o Options) (Choice, error) {
	c := Choice{Rule: Rule}
	best := -1
	for i, m := range forms {
		f, err := fitTrial(m, t, p, o)
		tried := Tried{Model: m, Fit: f}
		if err != nil && !errors.As(err, &tried.Refusal) {
			return Choice{}, err
		}
		c.Tried = append(c.Tried, tried)
		if tried.Refusal == nil && (best < 0 || f.SSE < c.Tried[best].Fit.SSE*(1-tie)) {
			best = i
		}
	}
	if best < 0 {
		return c, allRefused(c.Tried)
	}
	c.Fit = c.Tried[best].Fit
	c.Fit.Notes = append([]string(nil), c.Fit.Notes...)
	c.compare()
	return c, nil
}

// compare tells how the others did.
func (c *Choice) compare() {
	least := c.Fit.SSE
	var others []string
	for i := range c.Tried {
		tr := &c.Tried[i]
		switch {
		case tr.Refusal != nil:
			others = append(others, fmt.Sprintf("%s is out: %s", tr.Model, tr.Refusal.Why))
			continue
		case least > 0 && !c.Fit.Exact:
			tr.DeltaAICc, tr.HasDelta = max(0, float64(tr.Fit.Observations)*math.Log(tr.Fit.SSE/least)), true
		}
		if tr.Model == c.Fit.Curve.Model || !tr.HasDelta {
			continue
		}
		others = append(others, worse(tr.Model, tr.DeltaAICc))
		if tr.DeltaAICc < closeAICc {
			c.Fit.add("%s", hardlyTold(c.Fit.Curve.Model, tr.Model, tr.DeltaAICc))
		}
	}
	c.Why = c.Fit.Curve.Model.String() + " has the least AICc"
	if len(others) > 0 {
		c.Why += "; " + strings.Join(others, "; ")
	}
}

// tie is the share of a sum of squares below which two forms fit alike.
//
// Source: double precision, with room for sums over thousands of plots.
// Range: 1e-12 to 1e-6.
// Unit: share of the sum of squares.
const tie = 1e-9

// closeAICc is the difference below which data are said not to tell two curves apart.
//
// Source: Burnham & Anderson 2002, Model Selection and Multimodel Inference, from memory.
// Range: 2 to 4.
// Unit: AICc.
const closeAICc = 2.0

// allRefused joins the sentences. A trial in which some form sees no response
// has none; else the reason is the one they share, if any.
func allRefused(tried []Tried) *Refusal {
	out := &Refusal{Reason: tried[0].Refusal.Reason}
	var why []string
	out.Level = true
	for _, tr := range tried {
		out.Level = out.Level && tr.Refusal.Level
		switch {
		case tr.Refusal.Reason == Unresponsive:
			out.Reason = Unresponsive
		case tr.Refusal.Reason != out.Reason && out.Reason != Unresponsive:
			out.Reason = NothingLeft
		}
		why = append(why, tr.Model.String()+": "+tr.Refusal.Why)
	}
	out.Level = out.Level || out.Reason == Unresponsive
	out.Why = "no form of curve can be used: " + strings.Join(why, "; ")
	return out
}
