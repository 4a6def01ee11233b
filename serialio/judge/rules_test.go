package judge

import "testing"

// The check values are those of the community dialect's public page "G-code" (the first is its example); the others are
// reckoned by hand.
func TestReadsFrames(t *testing.T) {
	for line, want := range map[string]reading{
		"N3 T0*57":                 {number: 3, numbered: true, summed: true, sumRight: true, text: []byte("T0")},
		"N123 M105*39":             {number: 123, numbered: true, summed: true, sumRight: true, text: []byte("M105")},
		"N1 G1 X10 E2.5 F1800*115": {number: 1, numbered: true, summed: true, sumRight: true, text: []byte("G1 X10 E2.5 F1800")},
		"N-1 M110*15":              {number: -1, numbered: true, summed: true, sumRight: true, text: []byte("M110")},
		"N123 M105*38":             {number: 123, numbered: true, summed: true, text: []byte("M105")},
		"N123 M105*":               {number: 123, numbered: true, summed: true, text: []byte("M105")},
		"N123 M105*999":            {number: 123, numbered: true, summed: true, text: []byte("M105")},
		"N M105*1":                 {summed: true, text: []byte("N M105")},
		"M105 ; a remark":          {text: []byte("M105")},
		"M105 (a remark) S1":       {text: []byte("M105  S1")},
	} {
		got := read([]byte(line))
		if got.number != want.number || got.numbered != want.numbered || got.summed != want.summed || got.sumRight != want.sumRight || string(got.text) != string(want.text) {
			t.Errorf("%s: %+v, want %+v", line, got, want)
		}
	}
}

// A board takes its lines in turn, and M110 at any time, unless it is an ordered one.
func TestTakesInTurn(t *testing.T) {
	for _, ordered := range []bool{false, true} {
		j := New(NewPlan(blocks), Rules{Ordered: ordered})
		for _, line := range []string{framed(1, "G28"), framed(3, "G28"), framed(1, "G28"), framed(2, "G28"), framed(900, "M110 N900"), framed(901, "G28")} {
			j.Reached([]byte(line))
		}
		want := 4
		if ordered {
			want = 2
		}
		if got := j.Record(); len(got) != want {
			t.Errorf("ordered %v: took %v", ordered, got)
		}
	}
}

func FuzzReached(f *testing.F) {
	f.Add([]byte("N1 G1 X1*\n;(\n*\nM112\nN-9 M110 N-\n"))
	f.Fuzz(func(t *testing.T, p []byte) {
		j := New(NewPlan(blocks), Rules{})
		j.Left(1, p)
		j.Reached(p)
		j.Came(1, p)
		j.Close()
	})
}
