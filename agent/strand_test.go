package main

import (
	"encoding/json"
	"testing"

	"fettle/routines/runner"
)

// ofStrand is the answer to a question about the filament by somebody who does all that is asked, sets marks and flags where
// they are proposed, and reads what there is to read. nil where it is no such question.
func ofStrand(t testing.TB, q runner.OpenQuestion, look func() looked) map[string]any {
	t.Helper()
	yes := func(field string) map[string]any { return map[string]any{field: true} }
	switch q.Figure {
	case "mark":
		return map[string]any{"mark_mm": proposed(t, q, "mark_mm")}
	case "flags":
		return map[string]any{"flags_mm": proposed(t, q, "flags_mm")}
	case "path":
		return yes("path_open")
	case "unload":
		return yes("pulled_back")
	case "coupler":
		return yes("undone")
	case "cut":
		return yes("cut")
	case "bite":
		return map[string]any{"bite": "even"}
	case "leftover", "lengths", "far_flag":
		return farAway(q, look())
	case "near_flag":
		return readOr(look().NearMM, "near_mm", "set_anew")
	case "cut_piece":
		return readOr(look().PieceMM, "piece_mm", "")
	case "across":
		return readOr(look().AcrossMM, "across_mm", "")
	}
	return nil
}

// proposed is a length that the question shows. It has no default: who sets a mark says so.
func proposed(t testing.TB, q runner.OpenQuestion, name string) float64 {
	t.Helper()
	shown, _ := q.Shown.(map[string]any)
	mm, ok := shown[name].(float64)
	if !ok {
		t.Fatalf("%q shows no %s: %+v", q.Name, name, q.Shown)
	}
	return mm
}

// farAway is where mark or far flag is now.
func farAway(q runner.OpenQuestion, l looked) map[string]any {
	switch {
	case l.MarkWentIn:
		return map[string]any{"instead": "mark_went_in"}
	case l.LeftoverMM > *q.Fields[0].Max:
		return map[string]any{"instead": "filament_came_out"}
	}
	return map[string]any{"leftover_mm": l.LeftoverMM}
}

// readOr is a reading, or why there is none.
func readOr(mm *float64, name, instead string) map[string]any {
	if mm == nil {
		return map[string]any{"instead": instead}
	}
	return map[string]any{name: *mm}
}

func mustJSON(t testing.TB, x any) json.RawMessage {
	t.Helper()
	raw, err := json.Marshal(x)
	if err != nil {
		t.Fatal(err)
	}
	return raw
}
