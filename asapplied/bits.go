package asapplied

// Bits holds N on/off states for each of many records, packed: record i has
// the words Words[i*Stride() : (i+1)*Stride()], state k in bit k%64 of word
// k/64. The zero value has no states.
type Bits struct {
	N     int
	Words []uint64
}

// Stride returns the number of words for one record.
func (b Bits) Stride() int { return (b.N + 63) / 64 }

// Len returns the number of records; 0 when there are no states.
func (b Bits) Len() int {
	if b.N == 0 {
		return 0
	}
	return len(b.Words) / b.Stride()
}

// On reports state k (0 the leftmost section) of record i.
func (b Bits) On(i, k int) bool {
	return b.Words[i*b.Stride()+k>>6]>>(k&63)&1 != 0
}

// Row returns the words of record i, for comparing whole rows. The slice
// shares memory with b.
func (b Bits) Row(i int) []uint64 {
	s := b.Stride()
	return b.Words[i*s : (i+1)*s : (i+1)*s]
}

// Any reports whether some state of record i is on.
func (b Bits) Any(i int) bool {
	for _, w := range b.Row(i) {
		if w != 0 {
			return true
		}
	}
	return false
}

// padded returns the same states with n in all, those added off.
func (b Bits) padded(n int) Bits {
	out := Bits{N: n, Words: b.Words}
	if b.Stride() == out.Stride() {
		return out
	}
	out.Words = make([]uint64, b.Len()*out.Stride())
	for i := range b.Len() {
		copy(out.Words[i*out.Stride():], b.Row(i))
	}
	return out
}
