package api

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"strings"
	"testing"
)

// FuzzStrict: what passes is JSON (by the standard library), and means the same printed and read once more; what does
// not is refused with a fault of ours.
func FuzzStrict(f *testing.F) {
	for _, seed := range []string{`{}`, `{"a":1}`, `{"a":1,"a":2}`, `{"A":1}`, `{"a":{"b":[1,{"c":null}]}}`, `{} {}`, `[1 2]`, `{"a" 1}`, `{"a":}`,
		"{\"a\":\"\xff\"}", `{"a":1e999}`, `"x"`, `null`, strings.Repeat("[", 40), `{"a~/b":1}`, `{"a":01}`, "\ufeff{}", `{"a":1,}`} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		err := strict(body)
		if err != nil {
			var mine *fault
			if !errors.As(err, &mine) || kindOf(mine.code).code != mine.code {
				t.Fatalf("%q: %v is no fault of the table", body, err)
			}
			return
		}
		if !json.Valid(body) {
			t.Fatalf("%q passed and is no JSON", body)
		}
		if bytes.Contains(bytes.ToLower(body), []byte("null")) && !bytes.Contains(body, []byte(`"`)) {
			t.Fatalf("%q passed with null", body)
		}
		var once, twice any
		if json.Unmarshal(body, &once) != nil {
			return // a number too large for a float64: the field's own decoder refuses it
		}
		printed, err := json.Marshal(once)
		if err != nil || json.Unmarshal(printed, &twice) != nil {
			t.Fatalf("%q does not print: %v", body, err)
		}
		if err := strict(printed); err != nil {
			t.Fatalf("%q passed, and printed anew %q does not: %v", body, printed, err)
		}
	})
}

// BenchmarkStrict compares the strict reading of a setup with the standard decoder's alone.
func BenchmarkStrict(b *testing.B) {
	body := []byte(`{"drive":"bowden","filament_diameter_mm":1.75,"nozzle_bore_mm":0.4,"liner":"all_metal","nozzle_max_c":280,"bed_max_c":100,
		"feed_max_mm_per_s":5,"build_x_mm":200,"build_y_mm":200,"build_z_mm":200,"tube":{"bore_mm":2,"length_mm":400,"quarter_turns":6,"coupler_play_mm":0.3}}`)
	plain := func(b *testing.B) {
		for b.Loop() {
			var v map[string]any
			if err := json.NewDecoder(bytes.NewReader(body)).Decode(&v); err != nil && err != io.EOF {
				b.Fatal(err)
			}
		}
	}
	b.Run("standard", plain)
	b.Run("strict before it", func(b *testing.B) {
		for b.Loop() {
			if err := strict(body); err != nil {
				b.Fatal(err)
			}
		}
	})
}
