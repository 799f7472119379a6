// Package plan compares ways to put a season's nitrogen down, zone by zone and over
// the weather of many years, and chooses among them under limits.
//
// # What is compared
//
// A [Strategy] is a list of trips, each with its source, placement, depth, date,
// inhibitor, and a rate or a share of the season's rate. For each zone, strategy and
// year the losses of package loss are followed to the day asked for, each trip by
// itself, on the water of the zone's soil.
//
// # From nitrogen to yield
//
// A response curve is in nitrogen applied, the way its trial applied it, and the trial
// lost nitrogen, too. So a yield is read from the curve at
//
//	applied x (left of applied, this strategy) / (left of applied, the trial's way)
//
// both at the same rate, on the same soil and under the same weather of each year. A
// zone without a curve, or whose curve does not say what it stands for, has physical
// figures only.
//
// # Bands
//
// Every figure comes from the middle run of the coefficients of losses and of water;
// what is still there has also that of the run of high and of low losses, which set
// all coefficients to one end at once and so are wider than the truth where several of
// them matter. Over the years
// there are a mean and the mean of the worst fifth.
//
// # The choice
//
// [Result.Choose] gives each zone one strategy at one rate so that the sum of mean
// returns is as large as the limits allow, with a proven bound (package allot), and
// tells what one more unit of each limit would be worth by solving again.
package plan
