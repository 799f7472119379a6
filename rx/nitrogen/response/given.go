package response

import (
	"fmt"

	"ratewright/geo/unit"
)

// What the curve of a corn crop can be whose coefficients are given; beyond it a unit went
// wrong.
const (
	// leastTurn is below the rate at which any curve turns level.
	//
	// Source: common practice; joins of published curves lie at 50 to 300 kg/ha.
	// Range: 10 to 50.
	// Unit: kg N/ha.
	leastTurn = 15

	// mostTurn is above it.
	//
	// Source: common practice, as above; trials go to some 400 kg/ha.
	// Range: 400 to 800.
	// Unit: kg N/ha.
	mostTurn = 600
)

// plausible refuses given coefficients whose yields or rates are those of no corn.
func (c Curve) plausible() error {
	turn := c.Join
	if c.Model == Quadratic {
		turn = unit.KgNPerHa(-c.B / (2 * c.C))
	}
	const fix = "; check the coefficients and the units they are said to be in"
	bad := func(format string, args ...any) error {
		return refuse(BadCurve, "%s", fmt.Sprintf(format, args...)+fix)
	}
	if c.Model != Quadratic || c.B > 0 {
		if turn.KgNPerHa() < leastTurn {
			return bad("the curve turns level at %s already, which no corn does", rateFigure(turn, c.Units))
		}
		if turn.KgNPerHa() > mostTurn && c.Highest == 0 {
			return bad("the curve rises up to %s, above what any trial has tested; give the highest tested rate (highest) if it is right", rateFigure(turn, c.Units))
		}
	}
	if c.Highest.KgNPerHa() > mostRate {
		return bad("the highest tested rate is %s, which is not possible", rateFigure(c.Highest, c.Units))
	}
	at := max(turn, 0)
	if c.Highest > 0 {
		at = min(at, c.Highest)
	}
	switch top := c.Yield(at); {
	case top.KgPerHa() > mostYield:
		return bad("the curve yields %s at its top, which is not possible", yieldFigure(top, c.Units))
	case top.KgPerHa() < leastTopYield:
		return bad("the curve yields no more than %s at its top, which is no corn", yieldFigure(top, c.Units))
	}
	if low := c.Yield(c.Lowest); low < 0 {
		return bad("the curve yields %s at its lowest rate, which is less than nothing", yieldFigure(low, c.Units))
	}
	return nil
}
