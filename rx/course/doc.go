// Package course follows the nitrogen of an application on the zones of a field by day:
// what is still there, what residue holds and what is lost by which way, with bands.
//
// The same course is reckoned under the weather of each year of a record, of which the
// mean and the worst fifth are told, and under the weather of the application's own
// year where it has been observed. Each is run with low, middle and high losses, and
// with coefficients drawn at random.
//
// What the bands hold. Low and high are the ends of the three runs, each a mean over
// the years: they hold the coefficients (loss.Spread) and no weather. The worst fifth
// are the years with the least still there on the last day, in the middle run: it holds
// the weather alone. The 5 to 95 % of the draws hold both, for each draw takes a year
// of the record in turn; under observed weather the coefficients alone.
//
// All of it is a ranking with bands, not a forecast (loss.Ranking).
package course
