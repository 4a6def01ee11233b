package gcode

import (
	"iter"
	"time"
)

// A Program is blocks for a printer to obey one after another. They are made as they are pulled, so that a program takes
// no more memory than one block, however long it is.
type Program struct {
	// Steps gives the blocks in order. It may be ranged over more than once and gives the same each time. A block is good
	// until the next one is pulled.
	Steps iter.Seq[Step]
	All   Extent // of the whole; 0 where it is not known
}

// A Step is one block of a program, and about how long the printer takes with it; 0 where that is not known.
type Step struct {
	Block Block
	Lasts time.Duration
}

// Extent is how far a program goes, or how far it has come.
type Extent struct {
	Lines int
	Bytes int64 // of its blocks as printed, a line feed behind each
	Lasts time.Duration
}

// Add takes one more step, of so many bytes as printed without its line feed.
func (e *Extent) Add(s Step, bytes int) {
	e.Lines++
	e.Bytes += int64(bytes) + 1
	e.Lasts += s.Lasts
}
