package feed_test

import (
	"context"
	"errors"
	"testing"

	"fettle/routines"
	"fettle/routines/feed"
	"fettle/routines/replay"
	"fettle/serialio/gcode"
)

func TestEveryPrefixOfAFinishedRunReachesTheSameNextFact(t *testing.T) {
	inUse, stored := 900.0, 500.0
	for _, tt := range []struct {
		name, inputs string
		truth        float64
		alter        func(*bench)
		ends         string
	}{
		{"change, verified", `{"gauge":"caliper"}`, 0.984, nil, "change"},
		{"leave", `{"gauge":"caliper","passes":2}`, 1, nil, "leave"},
		{"cannot tell", `{"gauge":"mm_rule"}`, 0.995, func(b *bench) { b.says["another 2"] = `{"another":false}` }, "cannot_tell"},
		{"ratio", `{"gauge":"caliper"}`, 0.95, func(b *bench) { b.reports = false }, "ratio"},
		{"marks that went in", `{}`, 2, nil, "change"},
		{"a mark that cooled", `{"gauge":"caliper"}`, 0.984, func(b *bench) { b.cools["mark 1"] = true }, "change"},
		{"filament came out", `{}`, 1, func(b *bench) { b.says["leftover 1"] = `{"instead":"filament_came_out"}` }, "failed"},
		{"unsaved settings", `{"gauge":"caliper"}`, 0.95, func(b *bench) {
			b.differ = []gcode.Difference{{Word: "M204", Letter: "T", Tool: -1, InUse: &inUse, Stored: &stored}}
		}, "change"},
		{"left by the person", `{"gauge":"caliper"}`, 0.95, func(b *bench) { b.says["apply"] = `{"apply":"leave"}` }, "change"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			b := newBench(t, 93, tt.truth)
			if tt.alter != nil {
				tt.alter(b)
			}
			order := begin(t, direct(), tt.inputs)
			finding := b.run(order)
			if finding.Kind != tt.ends {
				t.Fatalf("it ended with %s, want %s", finding.Kind, tt.ends)
			}
			replay.EveryPrefix(t, feed.Check(), order, b.facts, finding)
		})
	}
}

func TestPastOfAnotherProgramIsNotResumed(t *testing.T) {
	past := []routines.Fact{{Kind: routines.Asked, Name: "something else"}}
	_, err := feed.Check().Do(routines.NewRun(context.Background(), begin(t, direct(), `{}`), past, newBench(t, 93, 1)))
	if !errors.Is(err, routines.ErrChanged) {
		t.Errorf("got %v, want ErrChanged", err)
	}
}
