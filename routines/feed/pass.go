package feed

import (
	"context"
	"fmt"

	"fettle/routines"
)

// What a person may answer instead of a leftover.
const (
	markWentIn = "mark_went_in"
	cameOut    = "filament_came_out"
)

// What a strand may look like.
const (
	smooth  = "smooth"
	popping = "popping"
)

// pass is one feed with what was read before and after it.
type pass struct {
	Number     int               `json:"pass"`
	MarkMM     float64           `json:"mark_mm"`
	LeftoverMM *float64          `json:"leftover_mm,omitempty"`
	Instead    string            `json:"instead,omitempty"`
	Strand     string            `json:"strand,omitempty"`
	Done       routines.FeedDone `json:"feed"`
}

// fedMM is what went in, where it could be read.
func (p pass) fedMM() (float64, bool) {
	if p.LeftoverMM == nil {
		return 0, false
	}
	return tidy(p.MarkMM - *p.LeftoverMM), true
}

// measured are the passes of which a length was read.
func measured(passes []pass) []pass {
	var out []pass
	for _, p := range passes {
		if p.LeftoverMM != nil {
			out = append(out, p)
		}
	}
	return out
}

// pass does one pass: mark, feed, look at the strand, read the leftover. The heater goes off before the reading unless
// another pass surely follows, since plastic cooks while a person reads.
func (c *check) pass(n int, another bool) (pass, error) {
	if err := c.Hot(routines.Heat{NozzleC: c.nozzleC}); err != nil {
		return pass{}, err
	}
	p := pass{Number: n}
	var err error
	if p.MarkMM, p.Done, err = c.mark(n); err != nil {
		return p, err
	}
	if !p.Done.Prevented {
		if p.Done, err = c.feed(fmt.Sprintf("feed %d", n), c.in.CommandedMM); err != nil {
			return p, err
		}
	}
	if p.Done.Prevented {
		return p, c.Hot(routines.Heat{})
	}
	if !another {
		if err := c.Hot(routines.Heat{}); err != nil {
			return p, err
		}
	}
	return c.read(p)
}

// read asks what the strand looked like and what is left of the mark's distance.
func (c *check) read(p pass) (pass, error) {
	look, err := routines.Ask[strandAnswer](c.Run, c.askStrand(p.Number))
	if err != nil {
		return p, err
	}
	p.Strand = look.Strand
	left, err := routines.Ask[leftoverAnswer](c.Run, c.askLeftover(p.Number, p.MarkMM))
	p.LeftoverMM, p.Instead = left.LeftoverMM, left.Instead
	return p, err
}

// mark takes up the play of the gear and lets the person set the mark. What cooled while they did so has let the
// filament sag, so both are done again.
func (c *check) mark(n int) (markMM float64, preFeed routines.FeedDone, err error) {
	for try := 1; ; try++ {
		name := fmt.Sprint(n)
		if try > 1 {
			name = fmt.Sprintf("%d, again %d", n, try)
		}
		if preFeed, err = c.feed("pre-feed "+name, c.in.PreFeedMM); err != nil || preFeed.Prevented {
			return 0, preFeed, err
		}
		answer, err := routines.Ask[markAnswer](c.Run, c.askMark("mark "+name))
		if err != nil || !c.WentCold() {
			return answer.MarkMM, preFeed, err
		}
	}
}

func (c *check) feed(name string, lengthMM float64) (routines.FeedDone, error) {
	return routines.Act(c.Run, name, routines.Moves, func(ctx context.Context, p routines.Printer) (routines.FeedDone, error) {
		return p.Feed(ctx, lengthMM, c.speedMMPerS)
	})
}
