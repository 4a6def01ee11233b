package feed

import (
	"context"
	"fmt"

	"fettle/routines"
)

// What a person may have heard or seen during a block, which ends the climb.
const (
	clicking = "clicking"
	grinding = "grinding"
)

// block is one length fed at one flow, with what was read before and after it.
type block struct {
	Number      int               `json:"block"`
	FlowMM3PerS float64           `json:"flow_mm3_per_s"`
	SpeedMMPerS float64           `json:"speed_mm_per_s"`
	BeforeMM    float64           `json:"before_mm"`
	LeftoverMM  *float64          `json:"leftover_mm,omitempty"`
	Instead     string            `json:"instead,omitempty"`
	Done        routines.FeedDone `json:"feed"`
}

// fedMM is what went in, where it could be read.
func (b block) fedMM() (float64, bool) {
	if b.LeftoverMM == nil {
		return 0, false
	}
	return tidy(b.BeforeMM - *b.LeftoverMM), true
}

// part is what went in of what was commanded, where both are known.
func (b block) part() (float64, bool) {
	fed, read := b.fedMM()
	if !read || b.Done.CommandedMM <= 0 {
		return 0, false
	}
	return fed / b.Done.CommandedMM, true
}

// complained reports whether the drive was heard or seen to give up.
func (b block) complained() bool { return b.Instead == clicking || b.Instead == grinding }

// block feeds one block and reads it. toCome is how many flows are still to be tried, this one with them.
func (f *flow) block(n int, flowMM3PerS float64, toCome int) error {
	if err := f.Hot(routines.Heat{NozzleC: f.nozzleC}); err != nil {
		return err
	}
	b := block{Number: n, FlowMM3PerS: flowMM3PerS, SpeedMMPerS: tidy(SpeedMMPerS(flowMM3PerS, f.areaMM2))}
	var err error
	if b.BeforeMM, b.Done, err = f.before(n, toCome); err != nil {
		return err
	}
	if !b.Done.Prevented {
		if b.Done, err = f.push(fmt.Sprintf("feed %d", n), f.in.BlockMM, b.SpeedMMPerS); err != nil {
			return err
		}
	}
	if b, err = f.read(b, toCome); err != nil {
		return err
	}
	return f.keep(b)
}

// read asks how far the mark is now. Where the mark has no room for a further block, or none is to follow, the drive and
// the nozzle cool meanwhile: setting a new mark takes its time, and plastic cooks in a nozzle that waits.
func (f *flow) read(b block, toCome int) (block, error) {
	f.leftMM = nil
	if b.Done.Prevented {
		return b, f.Hot(routines.Heat{})
	}
	stays := toCome > 1 && b.BeforeMM-f.in.BlockMM >= f.leastMarkMM()
	if !stays {
		if err := f.Hot(routines.Heat{}); err != nil {
			return b, err
		}
	}
	left, err := routines.Ask[leftoverAnswer](f.Run, f.askLeft(b, stays))
	if err != nil {
		return b, err
	}
	b.LeftoverMM, b.Instead = left.LeftoverMM, left.Instead
	if b.complained() {
		return f.readAllTheSame(b)
	}
	if stays {
		f.leftMM = b.LeftoverMM
	}
	return b, nil
}

// readAllTheSame asks for the length behind a block that the drive complained about: it is the one that shows the limit.
func (f *flow) readAllTheSame(b block) (block, error) {
	if err := f.Hot(routines.Heat{}); err != nil {
		return b, err
	}
	left, err := routines.Ask[leftoverAnswer](f.Run, f.askLeftAllTheSame(b))
	b.LeftoverMM = left.LeftoverMM
	return b, err
}

func (f *flow) push(name string, lengthMM, speedMMPerS float64) (routines.FeedDone, error) {
	return routines.Act(f.Run, name, routines.Moves, func(ctx context.Context, p routines.Printer) (routines.FeedDone, error) {
		return p.Feed(ctx, lengthMM, speedMMPerS)
	})
}
