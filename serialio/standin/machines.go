package standin

import (
	"fmt"
	"math"
	"math/rand/v2"
)

// InventedDirect is a direct drive with the stiff material: its strings thin out about evenly, and are gone below 1 mm.
func InventedDirect() Profile {
	p := Invented()
	p.Name = "Invented stand-in, direct drive (no real firmware)"
	p.PlayMM = 0.05
	return p
}

// InventedTube is a tube of 600 mm with 270 degrees of bend, the stiff material in it: nothing changes while a stroke only
// takes up the slack, and then the strings are gone within half a millimetre.
func InventedTube() Profile {
	p := Invented()
	p.Name = "Invented stand-in, tube (no real firmware)"
	p.PlayMM, p.SlackMM = 0.1, tubeSlackMM(600, 3, 1.75, 2.0)
	p.SpringMM, p.OozeShare = 1.3, 0.059
	return p
}

// tubeSlackMM is what a tube hides: filament that is pushed rides the outer wall of each bend, and that is geometry. What
// couplers give and how far the tube itself creeps are invented.
func tubeSlackMM(lengthMM, quarterTurns, filamentMM, boreMM float64) float64 {
	return quarterTurns*math.Pi/2*(boreMM-filamentMM) + 0.7 + lengthMM*0.00255
}

// Machines draws n printers, the same for the same seed: direct drives, short tubes and long ones, each with one of the four
// materials; some are damp, some lack melt at each restart, some tubes
// are loose. All are invented.
func Machines(seed uint64, n int) []Profile {
	r := rand.New(rand.NewPCG(seed, 0x3ac41e5))
	all := make([]Profile, n)
	for i := range all {
		all[i] = drawn(r, i)
	}
	return all
}

// drawn goes through kinds and materials in turn, so that a few machines have some of each.
func drawn(r *rand.Rand, i int) Profile {
	between := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	p, kind := InventedDirect(), "direct drive"
	if i%3 > 0 {
		p, kind = InventedTube(), "short tube"
		length, turns := between(280, 420), 1+float64(r.IntN(2))
		if i%3 == 2 {
			length, turns, kind = between(550, 750), 2+float64(r.IntN(3)), "long tube"
		}
		p.SlackMM = tubeSlackMM(length, turns, 1.75, between(1.93, 2.06)) + between(-0.4, 0.6)
		p.SpringMM = 0.8 + length*0.00083
	}
	p.TrueStepsPerMM = p.StepsPerMM[axisE]
	p.Material = Materials()[i/3%4]
	p.Name = fmt.Sprintf("Invented stand-in %d, %s, %s (no real firmware)", i, kind, p.Material.Name)
	p.SpringMM *= between(0.85, 1.2)
	p.EmptiesS *= between(0.8, 1.3)
	p.OozeShare *= between(0.8, 1.25)
	p.PlayMM *= between(0.5, 1.5)
	p.Seed = r.Uint64()
	switch luck := r.Float64(); {
	case luck < 0.06:
		p.Damp = true
	case luck < 0.09:
		p.RestartLackMM3 = between(0.13, 0.2)
	case luck < 0.12 && p.SlackMM > 0:
		p.SlackMM += 2
	}
	return p
}
