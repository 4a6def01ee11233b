package standin

import (
	"strings"
	"testing"
)

// Two posts, 10 mm each, from X 40 and X 64; the gap between is 14 mm, and the last layer lies at 3.3 mm.
func twoPosts(t *testing.T) *Firmware {
	t.Helper()
	r := tubeRow(0)
	r.gaps = []float64{14}
	_, f := looked(t, fedRight(InventedTube(), nil), r)
	stream(t, f, []string{"G0 X45 Y65 F6000", "G1 Z3.3", "M83", "M400"})
	return f
}

func TestOnlyATravelFromStrandToStrandLeavesAThread(t *testing.T) {
	for travel, want := range map[string]int{
		"G0 X70":                             1,
		"G0 X57|G0 X70":                      1, // in two legs
		"G0 X57|G1 E-1 F1800|G0 X70":         1, // drawn back on the way
		"G0 X70|G0 X45":                      2,
		"G0 X57|G0 X45":                      0, // and back to where it came from
		"G0 X57|G0 Y120|G0 X70":              0, // it ends in the air
		"G1 X70 E1":                          0, // a bead that bridges
		"G1 Z20|G0 X70|G1 Z3.3":              0, // high over both
		"G0 X49":                             0, // over its own plastic
		"G91|G0 X25|G90":                     1,
		"G92 X0|G0 X25|G92 X70":              1, // renamed
		"G92 X1000|G1 X1025 E-1 F6000|G0 X1": 2, // wiped across, and back beyond
	} {
		f := twoPosts(t)
		before := len(f.world.plate.crossed)
		stream(t, f, append(strings.Split(travel, "|"), "M400"))
		if got := len(f.world.plate.crossed) - before; got != want {
			t.Errorf("%s leaves %d threads, want %d", travel, got, want)
		}
	}
}

// A stroke that is given back only in part leaves a void of what is missing: 0.3 mm of 1.75 mm filament is 0.72 mm3.
func TestWhatIsNotGivenBackIsAVoid(t *testing.T) {
	void := func(give string) float64 {
		f := twoPosts(t)
		stream(t, f, []string{"G1 X46 E0.1 F600", "G1 E-5 F1800", "G0 X70 F6000", give, "G1 X71 E0.1", "M400"})
		all := f.world.plate.crossed
		if len(all) == 0 {
			t.Fatal("nothing was crossed")
		}
		return float64(all[len(all)-1].voidMM3)
	}
	mustBe(t, "mm3", void("G1 E4.7 F1800")-void("G1 E5 F1800"), 0.72, 0.02)
}

func TestABeadThatIsBrokenOffEndsThere(t *testing.T) {
	for _, how := range []string{"M410", "M112", "reset"} {
		f := warm(t, fedRight(InventedDirect(), nil))
		stream(t, f, []string{"G28", "M83", "G1 Z0.3", "M400"})
		f.Hear([]byte("G1 X100 E4 F600\n"))
		f.Advance(5_000_000_000)
		if how == "reset" {
			f.Reset()
		} else {
			f.Hear([]byte(how + "\n"))
		}
		_, to, any := f.world.plate.heights.acrossMM(0.1)
		if !any {
			t.Fatalf("%s: no bead", how)
		}
		mustBe(t, how+": end of the bead after 5 s at 10 mm/s", to, 50, 1.5)
	}
}
