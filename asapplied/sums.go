package asapplied

// Areas are areas in m². Each is added up from the faces of the sweep by
// itself, so that
//
//	Field   = Covered + Missed + NotPlanned
//	Covered = Once + Doubled, with Lapped within Once
//	Covered = AsPrescribed + Light + Heavy + Unprescribed
//
// are checks and not definitions.
type Areas struct {
	Field, Covered, Once, Doubled, Lapped, Missed, NotPlanned float64
	Outside, OffLimits                                        float64
	AsPrescribed, Light, Heavy, Unprescribed                  float64
	// Shallow is covered by some swath above the depth limit, whatever came
	// later; DepthUnknown by some swath of unknown depth and no shallow one.
	Shallow, DepthUnknown float64
}

func (a *Areas) fields() []*float64 {
	return []*float64{
		&a.Field, &a.Covered, &a.Once, &a.Doubled, &a.Lapped, &a.Missed, &a.NotPlanned, &a.Outside, &a.OffLimits,
		&a.AsPrescribed, &a.Light, &a.Heavy, &a.Unprescribed, &a.Shallow, &a.DepthUnknown,
	}
}

// Nitrogen are masses of nitrogen in kg, added up like Areas:
//
//	Applied = InField + Outside + OffLimits + Standing
//	Prescribed + Excess - Short = InField
//	Short = ShortMissed + ShortLight + ShortWithin
//
// Applied alone comes from the swaths, not from the faces.
type Nitrogen struct {
	Prescribed, Applied, InField, Outside, OffLimits float64
	// Standing was measured while the bar did not move on, or had next to no ground.
	Standing float64
	// Short and Excess are below and above the prescription, without tolerance.
	Short, Excess float64
	// ShortMissed, ShortLight and ShortWithin are the parts of Short on missed ground,
	// on light ground, and within the tolerance.
	ShortMissed, ShortLight, ShortWithin float64
	// Shallow is what the shallow swaths put down in the field.
	Shallow float64
}

func (n *Nitrogen) fields() []*float64 {
	return []*float64{
		&n.Prescribed, &n.Applied, &n.InField, &n.Outside, &n.OffLimits, &n.Standing, &n.Short, &n.Excess,
		&n.ShortMissed, &n.ShortLight, &n.ShortWithin, &n.Shallow,
	}
}

// sums are the areas and masses of one zone.
type sums struct {
	area Areas
	n    Nitrogen
}

func (s *sums) add(o *sums) {
	from, to := o.area.fields(), s.area.fields()
	for i := range to {
		*to[i] += *from[i]
	}
	from, to = o.n.fields(), s.n.fields()
	for i := range to {
		*to[i] += *from[i]
	}
}
