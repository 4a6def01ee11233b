package feed_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"testing"

	"fettle/routines"
	"fettle/serialio/gcode"
)

var update = flag.Bool("update", false, "write testdata anew")

// What page and scripts read must not change by accident: the questions of a whole check, its finding and its entries.
func TestQuestionsFindingAndEntriesAsJSON(t *testing.T) {
	inUse, stored := 900.0, 500.0
	b := newBench(t, 93, 0.9918)
	b.differ = []gcode.Difference{{Word: "M204", Letter: "T", Tool: -1, InUse: &inUse, Stored: &stored}}
	finding := b.run(begin(t, direct(), `{}`))
	golden(t, "testdata/change.json", struct {
		Questions []routines.Question `json:"questions"`
		Finding   routines.Finding    `json:"finding"`
		Entries   []routines.Entry    `json:"entries"`
	}{b.questions, finding, b.entries})
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
	golden(t, "testdata/ways.json", all)
}

// golden holds v, as JSON, to what is in a file, or writes the file with -update.
func golden(t *testing.T, name string, v any) {
	t.Helper()
	got, err := json.MarshalIndent(v, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.WriteFile(name, append(got, '\n'), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(bytes.TrimSpace(want), got) {
		t.Errorf("%s differs; got:\n%s", name, got)
	}
}
