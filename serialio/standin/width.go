package standin

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
)

// width is how wide the filament truly is at a place, mm, and square to it. Each place has a width of its own, and its oval
// lies some other way to whoever measures it. Another material is another spool.
func (p *Profile) width(place int, square bool) float64 {
	spool := fnv.New64a()
	spool.Write([]byte(p.Material.Name)) // a hash never fails
	r := rand.New(rand.NewPCG(p.Seed^spool.Sum64(), uint64(place)))
	mean := p.FilamentMM + max(0, p.UnevenMM)*r.NormFloat64()
	lies := math.Pi * r.Float64()
	if square {
		lies += math.Pi / 2
	}
	return mean + max(0, p.OvalMM)/2*math.Cos(2*lies) // an oval that is nearly round: one way as much above the mean as below it across
}

// WidthMM is the true width of the filament at a place, counted from 1, or square to it.
func (b Bench) WidthMM(place int, square bool) (mm float64) {
	b.at(func(f *Firmware) { mm = f.profile.width(place, square) })
	return mm
}

// LookAcross reads it.
func (b Bench) LookAcross(with Gauge, place int, square bool) (mm float64) {
	b.at(func(f *Firmware) {
		when := uint64(place) << 1
		if square {
			when++
		}
		mm = f.world.hand.read(with, f.profile.width(place, square), acrossMM, theWidth, when)
	})
	return mm
}
