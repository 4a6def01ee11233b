package docket_test

import (
	"fmt"
	"testing"

	"fettle/routines/docket"
)

// BenchmarkOf folds a lab's years of entries, beside one look at each of them in the same run: a docket is drawn whenever
// something was recorded, so it must stay a few looks at each.
//
//	go test -run xxx -bench Of ./routines/docket
func BenchmarkOf(b *testing.B) {
	full := tuned()
	for i := range 5000 {
		switch i % 50 {
		case 0:
			full.changed("fan", "")
		case 1, 2, 3, 4:
			full.found(docket.RetractionLength, 0.8, 0.1, "mm", fmt.Sprint("r", i))
		default:
			full.found("feed_pass", 97, 0.3, "mm", fmt.Sprint("r", i))
		}
	}
	b.Run("fold", func(b *testing.B) {
		for b.Loop() {
			full.docket()
		}
	})
	b.Run("one look at each", func(b *testing.B) {
		for b.Loop() {
			n := 0
			for _, e := range full.entries {
				if e.Kind == docket.RetractionLength && e.Value != nil {
					n++
				}
			}
			if n == 0 {
				b.Fatal("none")
			}
		}
	})
}
