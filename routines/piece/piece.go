// Package piece is the printed test object, from its geometry to the program that prints it: slim posts on a common foot,
// gaps that widen from one to the next, bands of height within which nothing changes.
//
// Owns: the geometry, the order in which it is printed, how much filament and time that takes, and its drawing.
// Guarantees: one variable differs between bands and nothing else; each gap is crossed once on every layer, in turn from
// either side; beads begin and end on the face towards the gap; no travel over the piece's own posts; everything is held to
// the printer's room and speeds before a program is given out; a program is made as it is pulled.
// Does not do: heat, wait or send; choose the values of the bands (routines/ladder does); know a printer beyond the numbers
// it is given.
// Read next: spec.go (what is asked for), row.go (what stands where), path.go, band.go, pen.go, drawing.go.
package piece

import (
	"fmt"

	"fettle/serialio/gcode"
)

// Bands is how many bands a piece has.
const Bands = 8

// Letters name the bands, from the bottom.
const Letters = "ABCDEFGH"

// A Piece is one piece, planned and held to its printer.
type Piece struct {
	spec   Spec
	row    row
	slowly float64 // mm/s of the blocks, which take the waiting time of a layer
	foot   Part
	bands  [Bands]Part
	end    Part
}

// A Part is a stretch of the piece that is printed in one go.
type Part struct {
	gcode.Program
	FilamentMM float64 // that is fed: laid beads, what is pushed out beside the piece, but no retraction
}

// Plan lays a piece out for a printer. It returns a *FitError for what does not fit, or cannot be.
func Plan(s Spec) (*Piece, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	row, err := layOut(s)
	if err != nil {
		return nil, err
	}
	p := &Piece{spec: s, row: row}
	p.slowly = p.blockSpeed()
	p.foot = p.part(p.writeFoot)
	for i := range p.bands {
		p.bands[i] = p.part(func(pen *pen) { p.writeBand(pen, i) })
	}
	p.end = p.part(p.writeEnd)
	return p, nil
}

// Foot is everything before the first band: the printer's own lines, the purge, the foot and its arrow.
func (p *Piece) Foot() Part { return p.foot }

// Band is one band, 0 at the bottom. It says where it begins, so that it stands alone.
func (p *Piece) Band(i int) Part { return p.bands[i] }

// End takes the nozzle away and gives the printer its own lines after a print.
func (p *Piece) End() Part { return p.end }

// Whole is all of it in a row.
func (p *Piece) Whole() Part {
	parts := p.parts()
	whole := Part{Program: gcode.Program{Steps: func(yield func(gcode.Step) bool) {
		for _, part := range parts {
			for s := range part.Steps {
				if !yield(s) {
					return
				}
			}
		}
	}}}
	for _, part := range parts {
		whole.FilamentMM += part.FilamentMM
		whole.All.Lines += part.All.Lines
		whole.All.Bytes += part.All.Bytes
		whole.All.Lasts += part.All.Lasts
	}
	return whole
}

func (p *Piece) parts() []Part {
	return append(append([]Part{p.foot}, p.bands[:]...), p.end)
}

// part makes a program of what writes it, and measures it by writing it once for nobody.
func (p *Piece) part(write func(*pen)) Part {
	steps := func(yield func(gcode.Step) bool) { write(newPen(p.spec, yield)) }
	part := Part{Program: gcode.Program{Steps: steps}}
	var room [96]byte
	measure := newPen(p.spec, func(s gcode.Step) bool {
		part.All.Add(s, len(s.Block.Append(room[:0])))
		return true
	})
	write(measure)
	part.FilamentMM = measure.laidMM
	return part
}

// A FitError says what of a piece does not fit its printer, or cannot be, and what would.
type FitError struct {
	What   string // "the row of posts"
	Why    string // "is 113 mm long, and the printer has 100 mm"
	Accept string
}

func (e *FitError) Error() string { return fmt.Sprintf("%s %s; accepted: %s", e.What, e.Why, e.Accept) }
