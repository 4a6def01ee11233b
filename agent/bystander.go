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
				one.piece.do(one.printer.Bench(), e)
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

// do lets the person at the printer do what an event says that somebody did.
func (p *pieceSeen) do(bench standin.Bench, e logbook.Event) {
	switch e.Kind {
	case "run begun":
		var begin routines.Begin
		if json.Unmarshal(e.Body, &begin) == nil && begin.Material.ID != "" {
			bench.Load(strandOf(begin.Material), bench.Popping())
		}
	case string(routines.Answered):
		var answer struct {
			MarkMM *float64 `json:"mark_mm"`
			Next   string   `json:"next"`
		}
		if json.Unmarshal(e.Body, &answer) != nil {
			return
		}
		if answer.MarkMM != nil {
			bench.Mark(*answer.MarkMM)
		}
		var number int
		if n, _ := fmt.Sscanf(e.Name, "piece %d", &number); n == 1 && answer.Next == "print" {
			bench.TakeOff()
			p.number, p.sinceOn = number, p.sinceOn+1
		}
	}
}
