// Package rates works the nitrogen rate of each zone out by a published method, and
// keeps the arithmetic: every term with its number, its unit and where it comes from.
// The methods themselves are pure functions below rx/nitrogen; here they meet zones,
// prices and areas.
package rates
