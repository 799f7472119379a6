// Package page draws results: as one HTML file that opens from disk with no
// network, and as a PNG. It computes none: every figure comes as the text to show,
// every outline in metres of the field's plane.
//
// A [Sheet] is what one page says. [Sheet.HTML] writes the page: summary and a first
// picture as SVG that need no script, and the map that a script of our own draws
// from data packed into the file. [Sheet.PNG] draws the first picture by itself.
//
// The first picture is a scene (scene.go): steps of drawing that picture.go,
// cells.go, labels.go and legend.go put together, poster.go heads for the PNG, and
// svg.go and png.go draw, each by its own means. A scene is 800 units wide, on a
// grid of tenths; at the width of a phone its smallest letters are 8 px high.
//
// What the script draws stands in two blocks of the page, packed by mapdata.go and
// pack.go, and unpacked by web/data.ts and web/decode.ts. Lengths there are whole
// centimetres. Outlines of zones, boundary and ground off limits keep their vertices,
// those of patches lie within 2 cm of what they were; areas are told as text.
package page
