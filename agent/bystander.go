package main

import (
	"context"
	"encoding/json"
	"fmt"

	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/serialio/standin"
)

// followAnswers does at the stand-ins what the person has answered to have done: whoever says that the mark is set 120 mm
// above the inlet has set it there, whoever begins a run has its material loaded, and whoever says that the bed is empty
// has taken the last piece off.
func (s *standIns) followAnswers(ctx context.Context, book *logbook.Book) {
	after := book.Last()
	for {
		news := book.Changed()
		events, err := book.Events(ctx, logbook.Filter{After: after})
		for _, e := range events {
			after = e.Seq
			if one := s.named(e.Printer); one != nil {
				s.mu.Lock()
				one.person.follow(one.printer.Bench(), e)
				s.mu.Unlock()
			}
		}
		if err != nil || ctx.Err() != nil {
			return
		}
		select {
		case <-ctx.Done():
			return
		case <-news:
		}
	}
}

// bystander is the person beside a stand-in: what they know of the piece on its bed and of the filament in their hands.
type bystander struct {
	piece  pieceSeen
	strand strandHeld
}

// follow lets them take in what an event asks, and do what it says that somebody did.
func (p *bystander) follow(bench standin.Bench, e logbook.Event) {
	switch e.Kind {
	case "run begun":
		var begin routines.Begin
		if json.Unmarshal(e.Body, &begin) == nil {
			p.begin(bench, begin)
		}
	case string(routines.Asked):
		p.strand.hear(e.Body)
	case string(routines.Answered):
		p.strand.do(bench, e.Body)
		p.piece.do(bench, e.Name, e.Body)
	case "run ended":
		bench.OpenPath(false) // tube and hot end are put together again
	}
}

func (p *bystander) begin(bench standin.Bench, begin routines.Begin) {
	if begin.Material.ID != "" {
		bench.Load(strandOf(begin.Material), bench.Popping())
	}
	p.strand = strandHeld{own: ownGauge(begin.Inputs)}
}

// do takes the last piece off where an answer says that the bed is empty.
func (p *pieceSeen) do(bench standin.Bench, question string, answer json.RawMessage) {
	var said struct {
		Next string `json:"next"`
	}
	var number int
	if n, _ := fmt.Sscanf(question, "piece %d", &number); n == 1 && json.Unmarshal(answer, &said) == nil && said.Next == "print" {
		bench.TakeOff()
		p.number, p.sinceOn = number, p.sinceOn+1
	}
}
