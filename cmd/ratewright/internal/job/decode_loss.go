package job

// LossSpec says how far and how often the losses of the applications are followed.
type LossSpec struct {
	Until string // a date; empty for the default
	Draws int
	Seed  uint64
	line  int // of until, 0 where it is not said
}

// The draws behind a band of losses, where the job does not say, and the fewest that
// tell 5 and 95 % apart.
const (
	defaultDraws = 200
	fewestDraws  = 20
	mostDraws    = 10000
)

func (d decoder) losses(m mapping) LossSpec {
	l := LossSpec{Draws: defaultDraws, Seed: 1}
	n, ok := m.node("loss")
	if !ok {
		return l
	}
	if m, ok = d.mapping(n, "loss", "until", "draws", "seed"); !ok {
		return l
	}
	l.Until = d.day(m, "until")
	if m.has("until") {
		l.line = m.lineOf("until")
	}
	l.Draws = int(d.count(m, "draws", defaultDraws, mostDraws))
	if l.Draws > 0 && l.Draws < fewestDraws {
		d.add(m.lineOf("draws"), "write 0 for none, or 20 and more", "loss: %d draws cannot tell 5 and 95 %% apart", l.Draws)
	}
	l.Seed = uint64(d.count(m, "seed", 1, mostSeed))
	return l
}
