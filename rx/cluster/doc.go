// Package cluster makes zones of cells of a field that are alike in several layers, such
// as elevation, conductivity and past yields.
//
// Layers are standardised to a mean of 0 and a standard deviation of 1. Cells are grouped by
// k-means (Lloyd 1982, IEEE Trans. Inf. Theory 28:129-137, from memory) from centres seeded
// by k-means++ (Arthur & Vassilvitskii 2007, from memory), the best of several starts. Where
// the number of zones is not given it is the one from 2 to 6 with the largest index of
// Calinski & Harabasz (1974, Commun. Stat. 3:1-27, from memory). Then each cell takes the
// label of most of its neighbours, round by round, and patches of too few cells join the
// label that surrounds them most, the smallest first. Of more than 10,000 cells as many,
// drawn by the seed, choose among the starts; the best is carried on with all cells, and all
// of them count in the index. The same cells and seed give the same zones.
package cluster
