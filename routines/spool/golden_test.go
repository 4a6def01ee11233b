package spool_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"slices"
	"testing"

	"fettle/routines"
)

var update = flag.Bool("update", false, "write testdata anew")

// What page and scripts read must not change by accident: the questions of a whole run with one slip, its finding and its
// entry.
func TestRunAsJSON(t *testing.T) {
	wrong := slices.Clone(even)
	wrong[6] = 1.47
	b := &bench{}
	b.read = func(q routines.Question) float64 {
		if s := seen(q); s.Again {
			return even[s.Reading-1]
		}
		return wrong[seen(q).Reading-1]
	}
	finding := b.run(t, begin(t, fitted(1.75), `{"spool":"plum, invented"}`))
	got, err := json.MarshalIndent(struct {
		Questions []routines.Question `json:"questions"`
		Finding   routines.Finding    `json:"finding"`
		Entries   []routines.Entry    `json:"entries"`
	}{b.questions, finding, b.entries}, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	const name = "testdata/diameter.json"
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
