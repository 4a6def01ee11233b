package feed

import (
	"fmt"
	"math"

	"fettle/routines"
)

// takeUpMM is fed before a mark is set, slowly and not counted: it takes up the play of the gear and what has oozed.
const takeUpMM = 10

// takeUpMM3PerS is the flow at which that is done. Common practice, no source.
const takeUpMM3PerS = 2.0

// leastMarkMM is the nearest that a mark may be before a block.
func (f *flow) leastMarkMM() float64 { return f.in.BlockMM + markSpareMM }

// markAtMM is where a mark is proposed that serves so many blocks, as far as the rule goes.
func (f *flow) markAtMM(blocks int) float64 {
	fit := min(blocks, blocksOnRule(f.in.RuleMM, f.in.BlockMM))
	return float64(fit)*f.in.BlockMM + 20
}

// before is how far the mark is from the inlet before a block: what the last block left of it, if filament and nozzle
// stayed as they were. Else the play is taken up and the mark set, or measured, anew.
func (f *flow) before(n, toCome int) (markMM float64, takeUp routines.FeedDone, err error) {
	if f.leftMM != nil && !f.WentCold() && *f.leftMM >= f.leastMarkMM() {
		return *f.leftMM, routines.FeedDone{}, nil
	}
	speed := tidy(math.Min(SpeedMMPerS(takeUpMM3PerS, f.areaMM2), SpeedMMPerS(f.tried[0], f.areaMM2)))
	for try := 1; ; try++ {
		name := fmt.Sprint(n)
		if try > 1 {
			name = fmt.Sprintf("%d, again %d", n, try)
		}
		if takeUp, err = f.push("pre-feed "+name, takeUpMM, speed); err != nil || takeUp.Prevented {
			return 0, takeUp, err
		}
		answer, err := routines.Ask[markAnswer](f.Run, f.askFlowMark("mark "+name, toCome, takeUp))
		if err != nil || !f.WentCold() {
			return answer.MarkMM, takeUp, err
		}
	}
}
