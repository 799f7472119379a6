// Package surface turns point samples of a field, such as soil tests, into values at any
// place: by ordinary kriging and by inverse distance. Both are held against samples left
// out one at a time, and against the plain mean of the samples; the best of the three is
// taken, the mean unless another is off by 5 % less, and the result says by how much it is off.
//
// # Kriging
//
// The semivariogram is half the mean squared difference of pairs in twelve classes of
// distance up to half the greatest. A spherical and an exponential model with a nugget are
// fitted by least squares, each class weighed by its pairs over the square of its distance;
// the range is searched over a fixed list. A place takes its value from the nearest
// samples, and those as near as the last of them, with weights that add up to one. Source: Webster & Oliver 2007, Geostatistics for
// Environmental Scientists (from memory); with fewer than some 100 samples a variogram is
// little known (Webster & Oliver 1992, J. Soil Sci. 43:177-192, from memory).
//
// # Many samples
//
// Inverse distance weighs all samples up to 1000, and of more the nearest. Above 5000 a
// part of them, drawn by a seed, makes the variogram and is left out; a note says so.
//
// # Limits
//
// Kriging can go beyond its samples, inverse distance cannot. Where values have natural
// limits, such as 0 and 100 % of cover, they are held to them, and the surface counts how
// often (LimitNote).
package surface
