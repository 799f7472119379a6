package geo

// relation is how two regions lie where that is plain without an overlay.
type relation int

const (
	entangled relation = iota // their edges may meet
	apart                     // they share no ground
	within                    // the first lies in the second
)

// relate compares the boxes of two regions, and the box of the first with the
// edges of the second: where none comes near it, one point of the first tells
// for all of it.
func relate(a, b Region) relation {
	if a.IsEmpty() || b.IsEmpty() {
		return apart
	}
	box := a.ground.bound.Pad(2 * noiseM)
	if !box.Intersects(b.ground.bound) {
		return apart
	}
	switch {
	case b.ground.index().meets(box):
		return entangled
	case b.Contains(a.ground.polys[0][0][0]):
		return within
	}
	return apart
}
