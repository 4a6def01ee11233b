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
	MarkMM     float64           `json:"mark_mm"`               // the farther flag, where there are two; a piece has no mark
	FlagsMM    float64           `json:"flags_mm,omitempty"`    // between two flags: the rest of mark_mm is near flag to inlet
	LeftoverMM *float64          `json:"leftover_mm,omitempty"` // the last one, where there are several
	Blocks     []lengthRead      `json:"blocks,omitempty"`
	Line       *line             `json:"line,omitempty"`
	PieceMM    *float64          `json:"piece_mm,omitempty"`
	Instead    string            `json:"instead,omitempty"`
	Strand     string            `json:"strand,omitempty"`
	Done       routines.FeedDone `json:"feed"`
}

// fedMM is what went in, where it could be read.
func (p pass) fedMM() (float64, bool) {
	switch {
	case p.PieceMM != nil:
		return *p.PieceMM, true
	case p.Line != nil:
		return p.Line.FedMM, true
	case p.LeftoverMM == nil || len(p.Blocks) > 0:
		return 0, false
	}
	return tidy(p.MarkMM - *p.LeftoverMM), true
}

// longestMM is the longest length that the gauge was held to.
func (p pass) longestMM() float64 {
	switch {
	case p.PieceMM != nil:
		return *p.PieceMM
	case p.FlagsMM > 0:
		return p.FlagsMM
	}
	return p.MarkMM
}

// measured are the passes of which a length was read.
func measured(passes []pass) []pass {
	var out []pass
	for _, p := range passes {
		if _, read := p.fedMM(); read {
			out = append(out, p)
		}
	}
	return out
}

// passInlet does one pass: mark, feed, look at the strand, read the leftover. The heater goes off before the reading unless
// another pass surely follows, since plastic cooks while a person reads. Done cold there is no heat and no strand.
func (c *check) passInlet(n int, another bool) (pass, error) {
	if err := c.heat(); err != nil {
		return pass{}, err
	}
	if c.method.cold && n > 1 {
		if _, err := routines.Ask[struct{}](c.Run, c.askStillOpen(n)); err != nil {
			return pass{}, err
		}
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
	if p.Done.Prevented || !another {
		if err := c.heaterOff(); err != nil || p.Done.Prevented {
			return p, err
		}
	}
	return c.read(p)
}

// heat wishes for the nozzle's temperature, unless the method is done cold.
func (c *check) heat() error {
	if c.method.cold {
		return nil
	}
	return c.Hot(routines.Heat{NozzleC: c.nozzleC})
}

func (c *check) heaterOff() error {
	if c.method.cold {
		return nil
	}
	return c.Hot(routines.Heat{})
}

// look asks what the strand looked like; cold there is none.
func (c *check) look(p pass) (pass, error) {
	if c.method.cold {
		return p, nil
	}
	look, err := routines.Ask[strandAnswer](c.Run, c.askStrand(p.Number))
	p.Strand = look.Strand
	return p, err
}

// read asks what the strand looked like and what is left of the mark's distance.
func (c *check) read(p pass) (pass, error) {
	p, err := c.look(p)
	if err != nil {
		return p, err
	}
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
		if c.method.cold {
			return p.FeedCold(ctx, lengthMM, c.speedMMPerS)
		}
		return p.Feed(ctx, lengthMM, c.speedMMPerS)
	})
}
