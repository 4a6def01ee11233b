package standin

import (
	"strconv"
	"testing"
	"time"
)

// moves are the short lines a piece is made of, framed and numbered from 1.
func moves(n int) [][]byte {
	lines := make([][]byte, n)
	for i := range lines {
		block := "G1 X" + strconv.Itoa(100+i%7) + ".25 Y" + strconv.Itoa(90+i%5) + ".5 E0.042"
		lines[i] = []byte(framed(i+1, block) + "\n")
	}
	return lines
}

// feeds are lines with F alone, as a check of the cable sends: of a print line's length, and harmless.
func feeds(n int) [][]byte {
	lines := make([][]byte, n)
	for i := range lines {
		lines[i] = []byte(framed(i+1, "G1 F1800.000000") + "\n")
	}
	return lines
}

// pure is the far end of a simulated session: up at once, and warm enough to feed.
func pure() Profile { return Profile{BootTime: -1, MinExtrudeC: 1} }

// One short move: its line in, its ok out, and a few milliseconds.
func BenchmarkLine(b *testing.B) {
	b.ReportAllocs()
	lines := moves(200)
	f := New(pure())
	f.Hear([]byte("M83\n"))
	for i := 0; b.Loop(); i++ {
		if i%200 == 0 {
			f.last = 0
		}
		f.Hear(lines[i%200])
		for f.Advance(5 * time.Millisecond); f.Say() == nil; {
			due, _ := f.Due()
			f.Advance(due)
		}
	}
}

// One short bead of a printer that is hot: melt and bed have their part of it.
func BenchmarkBead(b *testing.B) {
	b.ReportAllocs()
	lines := moves(200)
	f := New(pure())
	f.Hear([]byte("M109 S205\n"))
	f.Advance(5 * time.Minute)
	f.Hear([]byte("M83\n"))
	f.Say()
	for i := 0; b.Loop(); i++ {
		if i%200 == 0 {
			f.last = 0
		}
		f.Hear(lines[i%200])
		for f.Advance(5 * time.Millisecond); f.Say() == nil; {
			due, _ := f.Due()
			f.Advance(due)
		}
	}
}

// One with F alone, as the cable check sends.
func BenchmarkFeedAlone(b *testing.B) {
	b.ReportAllocs()
	lines := feeds(200)
	f := New(pure())
	for i := 0; b.Loop(); i++ {
		if i%200 == 0 {
			f.last = 0
		}
		f.Hear(lines[i%200])
		f.Say()
		f.Advance(5 * time.Millisecond)
	}
}

func BenchmarkNew(b *testing.B) {
	b.ReportAllocs()
	p := pure()
	for b.Loop() {
		New(p)
	}
}

func BenchmarkNoise(b *testing.B) {
	b.ReportAllocs()
	wire := Noise(1, 1e-4)
	line := moves(1)[0]
	for b.Loop() {
		wire(line)
	}
	b.SetBytes(int64(len(line)))
}
