package main

import (
	"context"
	"io"
	"net/http"
	"os"
	"slices"

	"fettle/routines"
	"fettle/serialio/gcode"
)

// serveVictim is the agent with one routine more, which heats and streams an invented piece.
func serveVictim(ctx context.Context, s settings, stdout io.Writer) error {
	h, err := build(ctx, s, s.Speedup, os.Stderr)
	if err != nil {
		return err
	}
	defer h.book.Close()
	h.runner.Routines = append(slices.Clip(registry), pieceRoutine())
	return h.serve(ctx, stdout)
}

func pieceRoutine() routines.Routine {
	return routines.Routine{Name: "piece", Title: "Piece", Program: "piece 1", Do: func(r *routines.Run) (routines.Finding, error) {
		if err := r.Hot(routines.Heat{NozzleC: r.Material.NozzleC}); err != nil {
			return routines.Finding{}, err
		}
		_, err := routines.Act(r, "print", routines.Moves, func(ctx context.Context, p routines.Printer) (routines.Streamed, error) {
			return p.Stream(ctx, inventedPiece())
		})
		return routines.Finding{Kind: "printed"}, err
	}}
}

const (
	pieceBefore = 5    // lines before its moves
	pieceMoves  = 2000 // of 0.2 s each
)

// inventedPiece leaves fan, bed and a setting of the firmware behind.
func inventedPiece() gcode.Program {
	return gcode.Program{Steps: func(yield func(gcode.Step) bool) {
		for _, line := range []string{"G28", "M83", "M204 P800", "M106 S128", "M140 S60"} {
			b, _ := gcode.Parse(line)
			if !yield(gcode.Step{Block: b}) {
				return
			}
		}
		words := []gcode.Word{{Letter: 'G', Value: 1}, {Letter: 'X'}, {Letter: 'E', Value: 0.3}, {Letter: 'F', Value: 3000}}
		for i := range pieceMoves {
			words[1].Value = float64(100 + 10*(i%2))
			if !yield(gcode.Step{Block: gcode.Block{Words: words}}) {
				return
			}
		}
	}}
}

// orderPiece begins the piece and says that hands are away.
func (v *victim) orderPiece() {
	v.Helper()
	v.call(http.MethodPost, "/v1/runs", map[string]any{"printer": "window", "routine": "piece", "material": "plum-pla", "attended": true, "inputs": map[string]any{}}, nil)
	s, there := v.see("r1")
	if !there || s.Question == nil || s.Question.Name != "runner: hands away" {
		v.Fatalf("it asks %+v: %s %s", s.Question, s.State, s.Cause)
	}
	v.call(http.MethodPost, "/v1/runs/r1/answers", map[string]any{"question": s.Question.Number, "hands_away": true}, nil)
}
