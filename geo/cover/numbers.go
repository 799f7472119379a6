package cover

import "math/bits"

// numbers is a table from keys to numbers that is emptied at no cost, for it is filled
// anew in every block.
type numbers struct {
	slots []slot // a power of two of them, at most half of them taken
	taken int
	round uint32 // slots of other rounds are free
}

type slot struct {
	key   uint64
	value int32
	round uint32
}

const fewestSlots = 64

func (n *numbers) clear() {
	n.taken = 0
	if n.round++; n.round == 0 || n.slots == nil {
		n.slots, n.round = make([]slot, max(len(n.slots), fewestSlots)), 1
	}
}

// at is the slot of a key, or the free one where it belongs.
func (n *numbers) at(key uint64) *slot {
	mask := uint64(len(n.slots) - 1)
	for i := key * 0x9e3779b97f4a7c15 >> (64 - bits.Len64(mask)); ; i++ {
		if s := &n.slots[i&mask]; s.round != n.round || s.key == key {
			return s
		}
	}
}

func (n *numbers) get(key uint64) (int32, bool) {
	s := n.at(key)
	return s.value, s.round == n.round
}

// put adds a key that is not there.
func (n *numbers) put(key uint64, value int32) {
	if 2*n.taken >= len(n.slots) {
		n.grow()
	}
	*n.at(key) = slot{key, value, n.round}
	n.taken++
}

func (n *numbers) grow() {
	old := *n
	n.slots, n.round, n.taken = make([]slot, 2*len(old.slots)), 1, 0
	for i := range old.slots {
		if s := &old.slots[i]; s.round == old.round {
			n.put(s.key, s.value)
		}
	}
}
