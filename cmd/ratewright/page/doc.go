// Package page draws results: as one HTML file that opens from disk with no
// network, and as a PNG. It computes none: every figure comes as the text to show,
// every outline in metres of the field's plane.
//
// A [Sheet] is what one page says. [Sheet.HTML] writes the page: summary and a first
// picture as SVG that need no script, and the map that a script of our own draws
// from data packed into the file. [Sheet.PNG] draws the first picture by itself.
package page
