package rung

import "testing"

// BenchmarkChoose is the time to choose the next print after one, two and six of them, on a tube with the widest range.
func BenchmarkChoose(b *testing.B) {
	s := specimenOf(3, true, true)
	for _, c := range []struct {
		name   string
		prints int
	}{{"opening", 0}, {"second", 1}, {"third", 2}, {"seventh", 6}} {
		b.Run(c.name, func(b *testing.B) {
			prints := spreadOver(s, c.prints)
			for b.Loop() {
				if n := Choose(s.start, prints); n.Do == "" {
					b.Fatal("no choice")
				}
			}
		})
	}
}

// spreadOver are first pieces, graded by a casual eye.
func spreadOver(s specimen, count int) []Print {
	r := raterOf(5, 0.6)
	var prints []Print
	for range count {
		prints = append(prints, r.look(s, Choose(s.start, nil).LengthsMM, false))
	}
	return prints
}
