package loss

// Balance is where the nitrogen of an application is, all in kg N/ha. Applied is the
// sum of all the others.
type Balance struct {
	Applied     float64
	Urea        float64 // on the surface and in the soil
	Ammonium    float64 // on the surface and in the soil
	Nitrate     float64
	Ammonia     float64 // lost into the air
	AtInjection float64 // lost on the way into the ground
	Denitrified float64
	Leached     float64 // below the roots
	Held        float64 // by residue, for now: not lost
}

// Lost is what has left for good, kg N/ha.
func (b Balance) Lost() float64 { return b.Ammonia + b.AtInjection + b.Denitrified + b.Leached }

// StillThere is what is neither lost nor held, kg N/ha. The crop has not taken it up
// with that.
func (b Balance) StillThere() float64 { return b.Urea + b.Ammonium + b.Nitrate }
