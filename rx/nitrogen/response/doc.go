// Package response works out nitrogen rates from response trials: it fits yield
// to nitrogen, finds the rate that pays best at given prices, and says how well
// the trial knows it.
//
// # Curves
//
// Yield y (kg/ha) over the nitrogen rate N (kg N/ha) takes one of three forms:
//
//	quadratic          y = A + B N + C N²,  C < 0
//	quadratic-plateau  the same up to the join J = -B/(2C), level beyond it
//	linear-plateau     y = A + B N up to the join J, level beyond it
//
// All are fitted by least squares. The quadratic is fitted on orthogonal
// polynomials. Of the two with a join, every stretch between neighbouring rates
// is searched for every stationary point, which there is a root of a polynomial,
// so that the smallest residual sum of squares of all is found, and the same one
// each time. Best chooses among the three by a stated rule.
//
// # Optimum
//
// With r = price of nitrogen / price of grain (kg grain per kg N), the optimum
// is (r-B)/(2C) for the first two forms and J for the third, where r < B; where
// r >= B it is no nitrogen at all. Zero is a rate and an answer. The return to a
// rate is P [y(N) - y(0)] - W N, with P the price of grain and W that of
// nitrogen. Source of the forms: Cerrato & Blackmer 1990, Agron. J. 82:138-143,
// and Bullock & Bullock 1994, Agron. J. 86:191-195 (the latter from memory); the
// optimum is where the derivative is r.
//
// # Confidence
//
// For the quadratic the set of optima is Fieller's: all x at which the slope
// B + 2Cx does not differ from r. It may be an interval, a half line, all rates,
// or what lies outside an interval, and the result says which; it is never made
// finite. For the forms with a join it is the profile-likelihood set: all optima
// x for which the best curve with that optimum has a residual sum of squares of
// at most S (1 + F/(n-3)), F the quantile with 1 and n-3 degrees of freedom.
// For the quadratic both are the same set, for its constraint is linear.
//
// # What is refused
//
// Fewer than four distinct rates, a curve that bends upward, yields that do not
// respond, a join before the second rate, yields that rise straight to the
// highest rate, and numbers that are none: each is a Refusal with its sentence.
package response
