// Package cover measures exactly what overlapping swaths and polygons cover.
//
// # One block, from quads to sums
//
// The plane is cut into square blocks. In a block every edge of a swath or of a
// layer's polygon becomes a piece: the part of the edge inside the block, or,
// where the edge lies left of the block, a piece on the block's left wall that
// carries the same winding. The ends of the pieces cut the block into strips.
// Where two pieces change places between the bottom and the top of a strip they
// cross, and the strip is cut again at the crossing. Between two cuts the block is a
// row of trapezoids. What can be told of a place hangs on the windings there alone:
// walking a row from left to right, each piece leads from one state of the windings to
// another, and each trapezoid adds its area to the state that it is in: see overlay.go.
// When the block is done a [Judge] is told each state as a [Face] with its area, and
// adds up whatever it wants to know.
//
// # Invariants
//
//   - Faces of a block never overlap and add up to the block: in a strip they
//     are the gaps between pieces sorted by their place at mid-height, so no
//     width is ever negative and the widths add up to the block's.
//   - Every x on an edge comes from the same function of the whole edge and y,
//     in every block, so neighbouring blocks agree to the last bit and a
//     winding never goes astray by rounding.
//   - A swath covers where its winding is not zero, whichever way it turns, so
//     both lobes of a folded quad count.
//   - Rows of blocks are judged each by a Judge of their own and handed back in
//     order: sums do not depend on the number of workers.
//
// # Accuracy
//
// A crossing closer than 1e-10 m to the end of its strip is not cut out; the
// area that may be given to the wrong side there is below 1e-10 m times the
// block's side. Against closed forms and an independent polygon overlay the
// areas of whole logs agree to better than 1e-9 of the field (see the tests).
//
// # Patches
//
// A judge may mark faces with kinds. The connected areas of each kind come out
// of the same sweep as a [Patch] with an exact outline: see patch.go and runs.go. Patches that
// border have the same corners along the border: see share.go.
// [Options].SimplifyM thins outlines, each by itself, as far as they stay valid:
// see thin.go.
package cover
