package page

// The script and the styles are compiled by a program in a module of its own, for
// their compiler is no part of ratewright. The result is committed: nobody needs
// to run this who does not change web/.
//
//go:generate go -C ../../../.ci/page run . ../../cmd/ratewright/page/web ../../cmd/ratewright/page/dist
