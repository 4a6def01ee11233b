package ladder

import (
	"encoding/json"
	"slices"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/routines/piece"
	"fettle/routines/rung"
)

// Kinds of entries that a ladder is made of.
const (
	kindPiece  = "piece"        // a piece was begun: what its bands are, what is held
	kindBand   = "band"         // a band of it is whole
	kindGrades = "grades"       // a person has judged it
	kindEnded  = "ladder_ended" // it came to an end without a value; the next one begins anew
)

// pieceBody is what a piece is.
type pieceBody struct {
	Ladder     piece.Variable `json:"ladder"`
	Piece      int            `json:"piece"` // the how manieth of its ladder
	Values     []float64      `json:"values"`
	Confirming bool           `json:"confirming,omitempty"`
	Held       held           `json:"held"`
	Limits     reported       `json:"motion"`
	Drawing    piece.Drawing  `json:"drawing"`
	FilamentM  float64        `json:"filament_m"`
	Afresh     bool           `json:"afresh,omitempty"` // the first of a ladder that forgets those before
	Program    string         `json:"program"`
}

// bandBody is one whole band.
type bandBody struct {
	Ladder piece.Variable `json:"ladder"`
	Piece  int            `json:"piece"`
	Letter string         `json:"letter"`
}

// gradesBody is what a person saw of a piece.
type gradesBody struct {
	Ladder     piece.Variable `json:"ladder"`
	Piece      int            `json:"piece"`
	Confirming bool           `json:"confirming,omitempty"`
	Held       held           `json:"held"`
	Bands      []bandSeen     `json:"bands"`
	Clicking   bool           `json:"clicking,omitempty"`
	Ground     bool           `json:"ground,omitempty"`
	Clogged    bool           `json:"clogged,omitempty"`
	Spoiled    string         `json:"spoiled,omitempty"`
	From       string         `json:"spoiled_from,omitempty"` // the band in which that happened; those above it are not judged
}

// bandSeen is one band as it was judged. One that was not judged has no grade.
type bandSeen struct {
	Letter string    `json:"letter"`
	Value  float64   `json:"value"`
	Grade  *int      `json:"grade,omitempty"` // of the whole band: its worst gap
	Gaps   []gapSeen `json:"gaps,omitempty"`  // those that were touched
	Voids  bool      `json:"voids,omitempty"`
}

type gapSeen struct {
	MM    float64 `json:"mm"`
	Grade int     `json:"grade"`
}

// worst is the worst grade that a band shows.
func (b bandSeen) worst() int {
	worst := 0
	if b.Grade != nil {
		worst = *b.Grade
	}
	for _, g := range b.Gaps {
		worst = max(worst, g.Grade)
	}
	return worst
}

// past is what a ladder has come to, by the records.
type past struct {
	judged  []gradesBody
	pending *unjudged // printed, as far as it is whole, and not judged
	pieces  int
	limits  *reported // of the piece before; nil: none
	last    *held     // the same
}

// held is what the piece before was printed with.
func (p past) held() (held, bool) {
	if p.last == nil {
		return held{}, false
	}
	return *p.last, true
}

// unjudged is a piece that waits for its grades.
type unjudged struct {
	pieceBody
	whole int // bands
}

// pastOf reads the ladder that the records tell of: pieces of this material with the setup as it is now, since its value was
// last found, since something changed that makes it stale, and since somebody began it afresh.
func pastOf(b routines.Begin, in inputs, kind piece.Variable) past {
	var p past
	if in.Afresh {
		return p
	}
	for _, r := range b.Records {
		switch {
		case ends(r, kind):
			p = past{}
		case r.Material == b.Material.ID && r.Setup == b.Setup.Version:
			p.take(r, kind)
		}
	}
	if p.pending != nil && p.pending.whole == 0 {
		p.pending = nil
		if len(p.judged) == 0 { // nothing of it can be compared with anything
			p.last, p.limits = nil, nil
		}
	}
	return p
}

// ends reports whether a record ends the ladder before it.
func ends(r routines.Record, kind piece.Variable) bool {
	found := docket.TravelSpeed
	if kind == piece.Length {
		found = docket.RetractionLength
	}
	if r.Kind == docket.KindChange {
		var change struct {
			What string `json:"what"`
		}
		if json.Unmarshal(r.Body, &change) != nil {
			return false
		}
		c, ok := docket.ChangeNamed(change.What)
		return ok && slices.Contains(c.MakesStale(), found)
	}
	var ended endedBody
	return r.Kind == found || (r.Kind == kindEnded && json.Unmarshal(r.Body, &ended) == nil && ended.Ladder == kind)
}

// endedBody is a ladder that found no value.
type endedBody struct {
	Ladder  piece.Variable `json:"ladder"`
	Finding string         `json:"finding"`
}

// take adds a record of this ladder.
func (p *past) take(r routines.Record, kind piece.Variable) {
	switch r.Kind {
	case kindPiece:
		var b pieceBody
		if json.Unmarshal(r.Body, &b) != nil || b.Ladder != kind {
			return
		}
		if b.Afresh {
			*p = past{}
		}
		p.pieces, p.pending, p.last, p.limits = b.Piece, &unjudged{pieceBody: b}, &b.Held, &b.Limits
	case kindBand:
		var b bandBody
		if json.Unmarshal(r.Body, &b) == nil && b.Ladder == kind && p.pending != nil && b.Piece == p.pending.Piece {
			p.pending.whole++
		}
	case kindGrades:
		var b gradesBody
		if json.Unmarshal(r.Body, &b) != nil || b.Ladder != kind {
			return
		}
		p.judged = append(p.judged, b)
		if p.pending != nil && p.pending.Piece == b.Piece {
			p.pending = nil
		}
	}
}

// popped reports whether the strand popped at the last feed of this material.
func popped(b routines.Begin) bool {
	damp := false
	for _, r := range b.Records {
		var pass struct {
			Strand string `json:"strand"`
		}
		if r.Kind == "feed_pass" && r.Material == b.Material.ID && json.Unmarshal(r.Body, &pass) == nil && pass.Strand != "" {
			damp = pass.Strand == "popping"
		}
	}
	return damp
}

// prints are the judged pieces as the chooser sees them.
func (l *ladder) prints() []rung.Print {
	var prints []rung.Print
	for _, g := range l.past.judged {
		p := rung.Print{Confirming: g.Confirming}
		for _, b := range g.Bands {
			if b.Grade == nil {
				continue
			}
			band := rung.Band{LengthMM: b.Value, Gaps: []rung.Gap{{Grade: *b.Grade}}, Voids: b.Voids, Clicking: g.Clicking, Ground: g.Ground, Clogged: g.Clogged}
			for _, gap := range b.Gaps {
				band.Gaps = append(band.Gaps, rung.Gap{MM: gap.MM, Grade: gap.Grade})
			}
			p.Bands = append(p.Bands, band)
		}
		if len(p.Bands) > 0 {
			prints = append(prints, p)
		}
	}
	return prints
}
