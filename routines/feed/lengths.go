package feed

import (
	"fmt"

	"fettle/routines"
	"fettle/routines/gauge"
)

// lengthRead is one of several lengths that are read against one mark.
type lengthRead struct {
	CommandedMM float64 `json:"commanded_mm"` // from the mark on
	LeftoverMM  float64 `json:"leftover_mm"`
}

// line is what the readings of a pass come to: the straight line of what went in by what was commanded.
type line struct {
	FedMM    float64   `json:"fed_mm"`           // its slope times the whole length: the scale, free of where the mark was set
	OffsetMM float64   `json:"offset_mm"`        // its height at nothing commanded: how far the mark was set off
	OffsetU  float64   `json:"offset_sd_mm"`     // and its standard deviation
	Ratio    float64   `json:"birge_ratio"`      // how many times more the readings scatter about it than they state
	Curved   bool      `json:"curved,omitempty"` // a parabola is truly better
	Strays   []float64 `json:"strays,omitempty"` // readings that lie off it, by what was commanded
	OffMM    []float64 `json:"off_mm"`           // each reading less the line
}

// bends reports whether the readings of a pass bend away from a line.
func bends(p pass) bool { return p.Line != nil && p.Line.Curved }

// passLengths does one pass of several blocks against one mark, each read where it ends. What cooled while a person read has
// let the filament sag, so the pass begins anew with another mark.
func (c *check) passLengths(n int, another bool) (pass, error) {
	for try := 1; ; try++ {
		p, sagged, err := c.stretch(n, try, another)
		if err != nil || !sagged {
			return p, err
		}
	}
}

// numbered names what is done in a try of pass n.
func numbered(what string, n, try int) string {
	if try > 1 {
		return fmt.Sprintf("%s %d, again %d", what, n, try)
	}
	return fmt.Sprintf("%s %d", what, n)
}

// stretch is one try at a pass: sagged says that it cooled before the last block was fed.
func (c *check) stretch(n, try int, another bool) (p pass, sagged bool, err error) {
	if err := c.heat(); err != nil {
		return p, false, err
	}
	p = pass{Number: n}
	if p.Done, err = c.feed(numbered("pre-feed", n, try), c.in.PreFeedMM); err != nil || p.Done.Prevented {
		return p, false, c.orOff(err)
	}
	mark, err := routines.Ask[markAnswer](c.Run, c.askMark(numbered("mark", n, try)))
	if err != nil || c.WentCold() {
		return p, true, err
	}
	p.MarkMM = mark.MarkMM
	return c.feedBlocks(p, try, another)
}

// feedBlocks feeds block after block, each read where it ends, and draws the line through them.
func (c *check) feedBlocks(p pass, try int, another bool) (_ pass, sagged bool, err error) {
	blocks := int(c.in.Lengths)
	for i := 1; i <= blocks; i++ {
		length := fmt.Sprintf(", length %d", i)
		if err = c.nextBlock(&p, numbered("feed", p.Number, try)+length, blocks); err != nil || p.Done.Prevented {
			return p, false, c.orOff(err)
		}
		if i == blocks && !another {
			if err := c.heaterOff(); err != nil {
				return p, false, err
			}
		}
		if err = c.readBlock(&p, numbered("leftover", p.Number, try)+length, i); err != nil || p.Instead != "" {
			return p, false, c.orOff(err)
		}
		if i < blocks && c.WentCold() {
			return p, true, nil
		}
	}
	if p.Line, err = c.lineThrough(p); err != nil {
		return p, false, err
	}
	p, err = c.look(p)
	return p, false, err
}

// orOff switches the heater off where a pass ends early.
func (c *check) orOff(err error) error {
	if err != nil {
		return err
	}
	return c.heaterOff()
}

// nextBlock feeds one block; what the printer said while the earlier ones were fed is kept.
func (c *check) nextBlock(p *pass, name string, blocks int) error {
	done, err := c.feed(name, tidy(c.in.CommandedMM/float64(blocks)))
	if err != nil {
		return err
	}
	done.CommandedMM += p.Done.CommandedMM * min(1, float64(len(p.Blocks)))
	done.Remarks = append(p.Done.Remarks, done.Remarks...)
	p.Done = done
	return nil
}

func (c *check) readBlock(p *pass, name string, i int) error {
	fedMM := tidy(c.in.CommandedMM * float64(i) / c.in.Lengths)
	left, err := routines.Ask[leftoverAnswer](c.Run, c.askBlock(name, i, fedMM, *p))
	if err != nil || left.LeftoverMM == nil {
		p.Instead = left.Instead
		return err
	}
	p.LeftoverMM = left.LeftoverMM
	p.Blocks = append(p.Blocks, lengthRead{CommandedMM: fedMM, LeftoverMM: *left.LeftoverMM})
	return nil
}

// lineThrough fits what went in by what was commanded, each reading with its own standard uncertainty.
func (c *check) lineThrough(p pass) (*line, error) {
	var points []gauge.Point
	for _, b := range p.Blocks {
		points = append(points, gauge.Point{X: b.CommandedMM, Y: p.MarkMM - b.LeftoverMM, SDY: gauge.BlockU(c.work.Gauge)})
	}
	l, err := gauge.FitLine(points)
	if err != nil {
		return nil, fmt.Errorf("pass %d: %w", p.Number, err)
	}
	_, curved := l.Curved()
	out := &line{FedMM: tidy(l.B * c.in.CommandedMM), OffsetMM: tidy(l.A), OffsetU: tidy(l.SDA), Ratio: tidy(l.S), Curved: curved}
	for _, i := range l.Outliers() {
		out.Strays = append(out.Strays, points[i].X)
	}
	for _, r := range l.Residuals {
		out.OffMM = append(out.OffMM, tidy(r))
	}
	return out, nil
}
