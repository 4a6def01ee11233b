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
	b := newBench(t, 93, 0.992)
	b.differ = []gcode.Difference{{Word: "M204", Letter: "T", Tool: -1, InUse: &inUse, Stored: &stored}}
	finding := b.run(begin(t, direct(), `{}`))
	got, err := json.MarshalIndent(struct {
		Questions []routines.Question `json:"questions"`
		Finding   routines.Finding    `json:"finding"`
		Entries   []routines.Entry    `json:"entries"`
	}{b.questions, finding, b.entries}, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	const name = "testdata/change.json"
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
