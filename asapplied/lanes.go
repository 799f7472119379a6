package asapplied

// Lanes holds N values for each of many records: one for the whole bar, or
// one per part of it from left to right. Record i has V[i*N : (i+1)*N]. NaN
// means no value. The zero value has no lanes.
type Lanes struct {
	N int
	V []float64
}

// Len returns the number of records; 0 when there are no lanes.
func (l Lanes) Len() int {
	if l.N == 0 {
		return 0
	}
	return len(l.V) / l.N
}

// Row returns the values of record i. The slice shares memory with l.
func (l Lanes) Row(i int) []float64 {
	return l.V[i*l.N : (i+1)*l.N : (i+1)*l.N]
}
