package docket_test

import (
	"encoding/json"
	"testing"

	"fettle/routines/docket"
)

// BenchmarkDrift charts twenty years of weekly feed checks, beside one reading of each of their bodies in the same run.
//
//	go test -run xxx -bench Drift ./routines/docket
func BenchmarkDrift(b *testing.B) {
	book := &driftBook{setup: 1}
	for i := range 1000 {
		book.checked(400+float64(i%5), 1)
	}
	b.Run("chart", func(b *testing.B) {
		for b.Loop() {
			if _, err := docket.DriftOf("p1", book.entries, 1, docket.DriftQuery{}); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("one reading of each", func(b *testing.B) {
		for b.Loop() {
			for _, e := range book.entries {
				if finding(e) == "" {
					b.Fatal("none")
				}
			}
		}
	})
}

func finding(e docket.Entry) string {
	var body struct{ Finding string }
	if json.Unmarshal(e.Body, &body) != nil {
		return ""
	}
	return body.Finding
}
