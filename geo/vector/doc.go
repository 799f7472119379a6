// Package vector reads and writes features: an outline in degrees with ordered
// attributes, from GeoJSON and shapefiles.
//
// [Open] gives a [Reader] whose Read hands out one feature after another until
// io.EOF and never holds the whole file; [Read] collects them in a [Layer].
// Every error about the content of a file is an [*InputError] that names the
// file, the place in it, what was wrong and what to do. A feature is used or
// counted in [Layer.Skipped] with a reason; it is never dropped in silence.
//
// # GeoJSON (.geojson, .json)
//
// RFC 7946 (Butler et al., IETF 2016): one FeatureCollection, Feature or bare
// geometry in UTF-8, a byte order mark allowed. Strict JSON (RFC 8259): no
// comments, no NaN, no trailing comma, no name twice in one object. Members may
// stand in any order.
//
//   - A position has two numbers or more; heights and what follows are ignored.
//   - A ring has at least four positions and ends where it begins. Either
//     winding is accepted; the first ring of a polygon is its shell.
//   - A null or empty geometry is counted as "null geometry".
//   - A GeometryCollection of polygons reads as one multipolygon; one of anything
//     else is refused.
//   - The crs member of the format of 2008 is read, before or after the features.
//     Without one the coordinates are WGS 84 longitude and latitude.
//   - Any feature can bring a new property; see [Reader.LearnColumns].
//   - A property keeps the text of the file. The member id of a feature is the
//     attribute "id" unless the properties have one of that name.
//   - A feature has at most 4 Mi positions, 2048 properties and 32 MiB of text.
//
// # Shapefile (.shp with .dbf, .shx, .prj, .cpg; or one such set in a .zip)
//
// ESRI Shapefile Technical Description, ESRI White Paper, July 1998, and the
// dBASE III table. Types Point, PolyLine, Polygon, MultiPoint and their Z and M
// forms, with or without the optional M block; Z and M are ignored. MultiPatch is
// refused. Siblings are found in any case of letters.
//
//   - Every count and length is checked against the record and the file before
//     memory is taken for it. The length in the header must not exceed the file,
//     the length of a content must be the one its counts need, and no record has
//     more than 64 MiB.
//   - Rings are shells or holes by containment, whatever their winding: a ring
//     inside an odd number of others is a hole of the smallest that holds it.
//   - With an .shx the records are read where the index says; without it in file
//     order.
//   - Row n of the .dbf belongs to record n. Their numbers must agree. A deleted
//     row takes its shape with it and is counted as "deleted row". Blanks and
//     asterisks are null; NUL ends a value; trailing blanks are cut.
//   - Text is read as the .cpg or else the language driver of the .dbf says:
//     UTF-8, Windows-1252 or ISO 8859-1. Without either it is UTF-8 where it is
//     valid and Windows-1252 where not.
//   - Without a .prj, coordinates in the range of degrees are WGS 84, with a note;
//     others are refused unless [Options] names the system.
//
// A zip holds the parts of one shapefile, at top level or in one folder. Climbing
// paths, encrypted parts, more than one layer, and parts that unpack beyond the
// limits are refused.
package vector
