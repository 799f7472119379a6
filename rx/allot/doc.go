// Package allot chooses one option for every group so that the returns add up to the most
// that limits on scarce things allow: one strategy and rate for every zone, with too little of
// a product, too few days fit for work, a total for each field.
//
// The problem is the multiple-choice knapsack problem with several limits (Kellerer, Pferschy
// & Pisinger 2004, Knapsack Problems, ch. 11, from memory). It is solved in four ways that
// work together:
//
//   - The relaxation, in which a group may mix its options, by the simplex method with
//     generalised upper bounds. Its prices of the limits prove a bound on the value of any
//     choice, whatever their accuracy (Lagrange): what there is at these prices, and the best
//     option of every group after paying for what it uses.
//   - Roundings of the limits, where groups are few (cuts.go): days for two zones and a half are
//     days for two, and rates go in steps, which a mix does not know.
//   - Branch and bound on what the prices do not rule out. Small problems end there with
//     the best choice, to a part in ten thousand million of what is at stake (the sum of the
//     spreads of returns within the groups).
//   - Where some limits go across everything and others stay within a field, fields are solved
//     one by one to whole choices, plan by plan, with the shared limits priced. The bound
//     then knows that a field cannot mix its options. Up to 120 groups this is the bound of
//     every node of a branch and bound, too (fieldbranch.go).
//
// A search aims at the gap asked for first: what lies less than that above the best choice
// known need not be looked at. Good choices come from the mixes, rounded, from diving (groups
// or fields fixed one by one), from exchanges in pairs (pairs.go) and from choosing two blocks
// of groups anew while all others stay (blocks.go).
//
// # What is proven
//
// Every result has its value, which is added up from the options chosen, a bound that no
// choice passes, and the gap between them. A sum may pass a limit by 1e-11 of it, for
// decimal fractions do not add up exactly; a limit of 0 is not passed at all.
//
// The worth of more of a scarce thing is the difference of two solutions. A price is not
// it: prices hold for a small amount and for mixed options, and a trip that one more ton
// makes possible is a step. A worth that is smaller than what the searches left open is
// said to be unknown.
//
// # Order
//
// Groups and options are worked on in the order given and nothing is drawn at random, so
// that the same problem has the same result everywhere. Among options of a group that return
// the same, the first that the limits leave room for is taken.
package allot
