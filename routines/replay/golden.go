package replay

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"

	"fettle/routines"
)

// Golden holds v, as JSON, to what is in a file, or writes the file anew.
func Golden(t Test, file string, anew bool, v any) {
	t.Helper()
	got, err := json.MarshalIndent(v, "", " ")
	if err == nil && anew {
		err = os.WriteFile(file, append(got, '\n'), 0o644)
	}
	if err != nil {
		t.Error(err)
		return
	}
	if want, err := os.ReadFile(file); err != nil || !bytes.Equal(bytes.TrimSpace(want), got) {
		t.Error(fmt.Sprintf("%s differs (%v); got:\n%s", file, err, got))
	}
}

// Whole is a run as page and scripts read it.
type Whole struct {
	Questions []routines.Question `json:"questions"`
	Finding   routines.Finding    `json:"finding"`
	Entries   []routines.Entry    `json:"entries"`
}
