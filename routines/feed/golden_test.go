package feed_test

import (
	"encoding/json"
	"flag"
	"testing"

	"fettle/routines"
	"fettle/routines/replay"
	"fettle/serialio/gcode"
)

var update = flag.Bool("update", false, "write testdata anew")

// What page and scripts read must not change by accident: the questions of a whole check, its finding and its entries.
func TestQuestionsFindingAndEntriesAsJSON(t *testing.T) {
	inUse, stored := 900.0, 500.0
	b := newBench(t, 93, 0.9918)
	b.differ = []gcode.Difference{{Word: "M204", Letter: "T", Tool: -1, InUse: &inUse, Stored: &stored}}
	finding := b.run(begin(t, direct(), `{}`))
	replay.Golden(t, "testdata/change.json", *update, replay.Whole{Questions: b.questions, Finding: finding, Entries: b.entries})
}

// The same of the other methods: their questions and what a pass rests on.
func TestQuestionsOfTheOtherMethodsAsJSON(t *testing.T) {
	type told struct {
		Method    string              `json:"method"`
		Questions []routines.Question `json:"questions"`
		Pass      json.RawMessage     `json:"pass"`
		Notes     []string            `json:"notes"`
	}
	var all []told
	for _, method := range []string{"two_flags", "several_lengths", "cold", "tube_end"} {
		setup := direct()
		if method == "tube_end" {
			setup = bowden()
		}
		b := newBench(t, 93, 0.998)
		b.says["another 1"] = `{"another":false}`
		f := b.run(begin(t, setup, `{"gauge":"caliper","target_percent":0.3,"lengths":3,"method":"`+method+`"}`))
		pass, _ := b.entry("feed_pass")
		all = append(all, told{method, b.questions, pass.Body, f.Notes})
	}
	replay.Golden(t, "testdata/ways.json", *update, all)
}
