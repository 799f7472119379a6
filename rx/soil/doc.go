// Package soil reads the tables of a USDA soil survey and says of each map unit what a
// rate needs: texture, organic matter, pH, CEC, drainage and hydrologic group over a
// depth, with low and high.
//
// A survey area comes as a folder of tables without headers, parted by bars, whose
// columns stand in the tables mstab and mstabcol beside them (USDA-NRCS, SSURGO metadata:
// table column descriptions; the order of mstab's and mstabcol's own columns as public
// readers of these files have it). Plain CSV tables with headers are read too.
//
// # How values come about
//
// A component's value is the mean of its horizons weighed by their thickness within the
// depth asked for, over what has a value; low and high are weighed alike. A map unit's
// value is the mean of its components weighed by their percent, over those that have a
// value. Percents that add up to less than 100 stand for the rest, and a note says so; less
// than half of a unit is refused. A property that is known of less than half of a unit, by
// percent and by depth down to the lowest horizon, is not known of it; what has no value in
// others stands in their notes with its share. pH is averaged as it stands, as surveys do.
// Texture is the class of the mean sand and clay (USDA Soil Survey Manual). Drainage and
// hydrologic group are those of the component with the largest percent.
package soil
