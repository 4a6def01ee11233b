package rung

// What is told about the prints to come. Fitted to our own simulation; figures_test.go holds it to that.
const (
	printsPerNat   = 0.4 // further prints for what a piece is expected to leave open
	printsPerDoubt = 1.2 // further prints where a confirming piece surprises
)

// left is how many prints are expected from here on, this one and the confirming one among them.
func (b belief) left(p placement) float64 {
	if p.rung == 0 {
		return 1 + printsPerDoubt*(1-b.serves()*b.promise(p.first))
	}
	l := b.lens()
	return 2 + printsPerNat*(l.all()-l.gain(p.lengths(b)))
}
