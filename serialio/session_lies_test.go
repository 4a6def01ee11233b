package serialio

import (
	"math/rand/v2"
	"slices"

	"fettle/serialio/standin"
)

// ruleless are the lies of a board that does not keep to the rules of the dialect, so that nobody can tell from the bytes
// that reached it what it took. There the judge is told.
var ruleless = []standin.Lie{standin.Hang, standin.Slow, standin.SlowAlive, standin.OKEarly, standin.ResendForNothing, standin.ResendBare,
	standin.ResendGarbled, standin.ResendStorm, standin.Restart, standin.CounterBack, standin.FaultReported}

// A small receive buffer loses bytes, and when it does so is the board's own affair as well.
func isRuleless(p *standin.Profile) bool { return p.ReceiveBytes <= 128 || lies(p, ruleless...) }

func lies(p *standin.Profile, any ...standin.Lie) bool {
	return slices.ContainsFunc(p.Lies, func(l standin.Lying) bool { return slices.Contains(any, l.Lie) })
}

// chanceOf is how often a lie is told at each of its occasions: some times in a conversation, or once where it is for good.
func chanceOf(l standin.Lie) float64 {
	switch l {
	case standin.Silent, standin.Hang, standin.ResendStorm:
		return 0.005
	case standin.SlowAlive:
		return 0.01
	case standin.RefusalUnsaid:
		return 0.3
	case standin.ReadingNaN, standin.ReadingJumped, standin.ReadingFrozen:
		return 0.2
	case standin.FaultReported:
		return 0.01
	case standin.Restart, standin.BannerAlone, standin.CounterBack, standin.TargetChanged:
		return 0.03
	case standin.Flood:
		return 0.005
	case standin.OwnError, standin.UnknownText, standin.BinaryNoise, standin.OKForNothing:
		return 0.1
	}
	return 0.02
}

// drawLies draws none, one or two.
func drawLies(draw *rand.Rand) (lies []standin.Lying) {
	all := standin.Lies()
	for range max(0, draw.IntN(5)-2) {
		l := all[draw.IntN(len(all))]
		lies = append(lies, standin.Lying{Lie: l, Chance: chanceOf(l)})
	}
	return lies
}

// noted tells the judge what a ruleless board has taken since it was last looked at, and whether it restarted after that.
func (f *far) noted() {
	if !f.told {
		return
	}
	f.took, f.counted = f.firmware.ObeyedSince(f.counted, f.took[:0])
	for _, o := range f.took {
		f.judge.Took(acceptedBy(o))
	}
	if n := f.firmware.Resets(); n > f.resets {
		f.resets = n
		f.judge.Restarted()
	}
}
