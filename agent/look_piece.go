package main

import (
	"fmt"
	"math"
	"strings"

	"fettle/serialio/standin"
)

// pieceSeen is what the person knows of the piece on a bed.
type pieceSeen struct {
	number  int    // in its ladder; 0: none was begun
	sinceOn uint64 // pieces since the demo began
}

// eye is somebody who grades, with a scatter in grades (of our own simulation, no source).
type eye struct {
	name          string
	scatterGrades float64
}

func eyeNamed(name string) (eye, bool) {
	switch name {
	case "eye":
		return eye{name, 0.35}, true
	case "casual_eye":
		return eye{name, 0.6}, true
	}
	return eye{}, false
}

// lookedAtPiece is what an eye sees of the piece on the bed. It is the demo's own answer, invented.
type lookedAtPiece struct {
	Gauge    string         `json:"gauge"`
	Piece    int            `json:"piece"`
	HighMM   float64        `json:"high_mm"`
	Damp     bool           `json:"damp"`
	Crashed  bool           `json:"crashed"`
	Bands    []bandLooked   `json:"bands"`
	Answer   map[string]any `json:"answer"` // the fields of the question for grades
	Invented bool           `json:"invented"`
}

type bandLooked struct {
	Letter string      `json:"letter"`
	Grade  string      `json:"grade"` // of its worst gap
	Voids  bool        `json:"voids"`
	Gaps   []gapLooked `json:"gaps"`
}

type gapLooked struct {
	MM       float64  `json:"mm"`
	Grade    string   `json:"grade"`
	ThreadUM *float64 `json:"thread_um,omitempty"` // what is truly there
}

// look grades each whole band. The same eye sees the same each time.
func (p pieceSeen) look(bench standin.Bench, seed uint64, e eye, truth bool) lookedAtPiece {
	seen := bench.LookAtPiece(0)
	rater := standin.NewRater(seed<<32+p.sinceOn<<8+uint64(len(e.name)), e.scatterGrades)
	l := lookedAtPiece{Gauge: e.name, Piece: p.number, HighMM: seen.HighMM, Damp: seen.Damp, Crashed: seen.Crashed,
		Bands: []bandLooked{}, Answer: map[string]any{}, Invented: true}
	for i, b := range seen.Bands {
		band := gradedBy(rater, threadsOf(b.Gaps), truth)
		band.Letter = string(rune('A' + i))
		l.Bands = append(l.Bands, band)
		band.answer(l.Answer)
	}
	return l
}

// threadsOf are the threads between posts. The first and the last gap are beside the blocks, and nobody grades those.
func threadsOf(gaps []standin.GapLook) (threads []standin.Thread) {
	for i := 1; i < len(gaps)-1; i++ {
		g := gaps[i]
		threads = append(threads, standin.Thread{GapMM: math.Round(2*g.WidthMM) / 2, ThreadUM: g.ThreadUM, VoidMM3: g.VoidMM3})
	}
	return threads
}

func gradedBy(rater *standin.Rater, threads []standin.Thread, truth bool) bandLooked {
	words := [...]string{"clean", "hairs", "threads", "strings", "web"}
	grades, voids := rater.Band(threads)
	b := bandLooked{Voids: voids, Gaps: []gapLooked{}}
	worst := 0
	for i, t := range threads {
		g := gapLooked{MM: t.GapMM, Grade: words[grades[i]]}
		if truth {
			g.ThreadUM = &t.ThreadUM
		}
		worst = max(worst, grades[i])
		b.Gaps = append(b.Gaps, g)
	}
	b.Grade = words[worst]
	return b
}

// answer puts a band's grades into an answer.
func (b bandLooked) answer(into map[string]any) {
	letter := strings.ToLower(b.Letter)
	into[letter+"_grade"], into[letter+"_voids"] = b.Grade, b.Voids
	for _, g := range b.Gaps {
		into[fmt.Sprintf("%s_gap_%g_mm", letter, g.MM)] = g.Grade
	}
}
