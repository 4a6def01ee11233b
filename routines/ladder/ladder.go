// Package ladder holds the two ladders: series of pieces in which one variable climbs by small bounded rungs, judged by a
// person, until a value is found and confirmed, or it is plain that none serves.
//
// Owns: the travel ladder and the retraction ladder as procedures, what is held while one variable changes, what a piece's
// grades are made of, and the words of both.
// Guarantees: one variable differs, and nothing else, within a piece and between the pieces of a ladder; no ceiling is passed
// unasked; values are hidden until they are graded; a length counts as found only after a piece of nothing else confirmed
// it; a ladder follows from the logbook's entries alone, so it may last for days.
// Does not do: choose the next rung (routines/rung), lay out a piece (routines/piece), compute how filament gives
// (routines/melt), judge whether an earlier value still holds (routines/docket).
// Read next: length.go and travel.go (the procedures), plan.go (what is held), print.go, grades.go, past.go, finding.go.
package ladder

import (
	"fettle/routines"
	"fettle/routines/docket"
	"fettle/routines/piece"
)

// Programs change whenever the order of the facts changes.
const (
	travelProgram = "travel_ladder 1"
	lengthProgram = "retraction_ladder 1"
)

// Travel is the travel ladder: how fast the head may cross open air.
func Travel() routines.Routine {
	return routines.Routine{Name: docket.DoTravel, Title: "Travel ladder", Program: travelProgram, Inputs: travelFields(), Reads: reads(),
		Check: func(b routines.Begin) error { return check(b, piece.Travel) },
		Do:    func(r *routines.Run) (routines.Finding, error) { return do(r, piece.Travel, (*ladder).travel) }}
}

// Length is the retraction ladder: how much filament is drawn back before open air is crossed.
func Length() routines.Routine {
	return routines.Routine{Name: docket.DoLength, Title: "Retraction ladder", Program: lengthProgram, Inputs: lengthFields(), Reads: reads(),
		Check: func(b routines.Begin) error { return check(b, piece.Length) },
		Do:    func(r *routines.Run) (routines.Finding, error) { return do(r, piece.Length, (*ladder).length) }}
}

// reads are the kinds of entries that a ladder follows from.
func reads() []string {
	return append(docket.Kinds(), kindPiece, kindBand, kindGrades, kindEnded, "feed_pass")
}

// ladder is one run of a ladder.
type ladder struct {
	*routines.Run
	in     inputs
	kind   piece.Variable
	docket docket.Docket
	limits reported // what the printer's own report says
	held   held
	past   past
	pieces int // begun so far in this ladder
}

// do is what both ladders begin with: what is held, what was printed and never judged, and then the one or the other.
func do(r *routines.Run, kind piece.Variable, climb func(*ladder) (routines.Finding, error)) (routines.Finding, error) {
	l, err := begin(r, kind)
	if err != nil {
		return routines.Finding{}, err
	}
	if l.past.pending != nil {
		if err := l.grade(*l.past.pending); err != nil {
			return routines.Finding{}, err
		}
	}
	return climb(l)
}
