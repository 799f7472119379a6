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
// value. pH is averaged as it stands, as surveys do. Texture is the class of the mean sand
// and clay (USDA Soil Survey Manual). Drainage and hydrologic group are those of the
// component with the largest percent.
package soil
