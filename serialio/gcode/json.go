package gcode

import (
	"encoding/json"
	"fmt"
)

// wordJSON is a Word with its letter as a person reads it.
type wordJSON struct {
	Letter string  `json:"letter"`
	Value  float64 `json:"value"`
	Bare   bool    `json:"bare,omitempty"`
}

// MarshalJSON prints {"letter":"E","value":93}.
func (w Word) MarshalJSON() ([]byte, error) {
	return json.Marshal(wordJSON{Letter: string(rune(w.Letter)), Value: w.Value, Bare: w.Bare})
}

// UnmarshalJSON reads what MarshalJSON printed and refuses a letter that is none.
func (w *Word) UnmarshalJSON(text []byte) error {
	var in wordJSON
	if err := json.Unmarshal(text, &in); err != nil {
		return fmt.Errorf("read a word: %w", err)
	}
	if len(in.Letter) != 1 || !printable(Word{Letter: in.Letter[0], Value: in.Value}) {
		return fmt.Errorf("read a word: %q is no letter with a number below 1e9", in.Letter)
	}
	*w = Word{Letter: in.Letter[0] &^ 0x20, Value: in.Value, Bare: in.Bare}
	return nil
}
