package feed_test

import (
	"bytes"
	"encoding/json"
	"os"
	"testing"

	"fettle/routines"
)

// What page and scripts read must not change by accident: the questions of a whole climb, its finding and its entries.
func TestClimbAsJSON(t *testing.T) {
	c := newClimber(t, slips(7, 5))
	s := direct()
	finding := c.run(beginFlow(t, s, `{}`))
	got, err := json.MarshalIndent(struct {
		Questions []routines.Question `json:"questions"`
		Finding   routines.Finding    `json:"finding"`
		Entries   []routines.Entry    `json:"entries"`
	}{c.questions, finding, c.entries}, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	const name = "testdata/flow_limit.json"
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
