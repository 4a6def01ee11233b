package feed_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"fettle/routines"
	"fettle/routines/feed"
	"fettle/routines/replay"
)

func names(b *bench) []string {
	var out []string
	for _, q := range b.questions {
		out = append(out, q.Name)
	}
	return out
}

// Each method in its own order of steps, on a printer that feeds 98.4 of 100 mm.
func TestEachMethodHasItsOwnOrder(t *testing.T) {
	hot := func(feeds ...string) []string { return feeds }
	for _, tt := range []struct {
		inputs, gauge string
		tube          bool
		did, asked    []string
	}{
		{"two_flags", "caliper", false,
			hot("ready at 210", "feed 5 at 0.832", "ready at 210", "feed 100 at 0.832", "cool"),
			[]string{"air", "flags 1", "near flag 1", "strand 1", "far flag 1"}},
		{"several_lengths", "caliper", false,
			hot("ready at 210", "feed 5 at 0.832", "ready at 210", "feed 20 at 0.832", "ready at 210", "feed 20 at 0.832", "ready at 210",
				"feed 20 at 0.832", "ready at 210", "feed 20 at 0.832", "ready at 210", "feed 20 at 0.832", "cool"),
			[]string{"air", "mark 1", "leftover 1, length 1", "leftover 1, length 2", "leftover 1, length 3", "leftover 1, length 4",
				"leftover 1, length 5", "strand 1"}},
		{"cold", "caliper", false,
			hot("ready cold", "lift the block", "feed 5 at 0.832", "set the block", "ready cold", "lift the block", "feed 100 at 0.832", "set the block"),
			[]string{"path", "mark 1", "leftover 1"}},
		{"tube_end", "caliper", true, // 60 + 20 pulled back, 5.42 mm of slack (2.85 in 4.0, three quarter turns), 10 to stand out
			hot("ready at 210", "feed 5 at 0.314", "cool", "await 50", "ready cold", "lift the block", "feed 96 at 0.314", "set the block",
				"ready cold", "lift the block", "feed 100 at 0.314", "set the block"),
			[]string{"air", "unload", "coupler", "cut 1", "piece 1"}},
	} {
		t.Run(tt.inputs, func(t *testing.T) {
			setup := direct()
			if tt.tube {
				setup = bowden()
			}
			b := newBench(t, 93, 0.984)
			b.says["apply"] = `{"apply":"leave"}`
			order := begin(t, setup, fmt.Sprintf(`{"method":%q,"gauge":%q}`, tt.inputs, tt.gauge))
			f := b.run(order)
			wantKind(t, f, "change", "Change it to 94.51")
			near(t, "fed", value(t, f, "fed_mm").Value, 98.4, 1e-5)
			did := b.did
			if i := slices.Index(did, "restore"); i >= 0 {
				did = did[:i]
			}
			if !slices.Equal(did, tt.did) {
				t.Errorf("the printer did %q, want %q", did, tt.did)
			}
			if asked := names(b); !slices.Equal(asked, append(tt.asked, "apply")) {
				t.Errorf("asked were %q, want %q", asked, tt.asked)
			}
			if _, open := b.entry("feed_pass"); open["method"] != tt.inputs {
				t.Errorf("the pass rests on %v", open)
			}
			replay.EveryPrefix(t, feed.Check(), order, b.facts, f)
		})
	}
}

// Whatever was set off with the mark ends in the intercept: 1 mm changes nothing of the scale.
func TestAMarkSetOffIsKeptApartFromTheScale(t *testing.T) {
	b := newBench(t, 93, 0.984)
	b.readMM = func(int) float64 { return -1 }
	f := b.run(begin(t, direct(), `{"method":"several_lengths","gauge":"caliper","verify":false}`))
	wantKind(t, f, "change", "Change it to 94.51")
	near(t, "offset", value(t, f, "marking_offset_1_mm").Value, 1, 1e-5)
	near(t, "fed", value(t, f, "fed_mm").Value, 98.4, 1e-5)
}

// readings lets the person read these leftovers after each of several lengths.
func readings(b *bench, mm ...float64) {
	for i, left := range mm {
		b.says[fmt.Sprintf("leftover 1, length %d", i+1)] = fmt.Sprintf(`{"leftover_mm":%g}`, left)
	}
}

// What went in falls behind more and more: 19.5, 38, 55.5, 72, 87.5 mm. That is no scale.
func TestReadingsThatBendAreNamedSlipAndChangeNothing(t *testing.T) {
	b := newBench(t, 93, 1)
	readings(b, 100.5, 82, 64.5, 48, 32.5)
	b.says["another 1"] = `{"another":false}`
	f := b.run(begin(t, direct(), `{"method":"several_lengths","gauge":"caliper"}`))
	wantKind(t, f, "cannot_tell", "Cannot tell yet")
	wantNote(t, f, "bend away from a line: that is slip or curl, not scale")
	if slices.Contains(b.did, "restore") {
		t.Errorf("a change was offered: %q", b.did)
	}
}

func TestAReadingThatStraysIsNamedAndKept(t *testing.T) {
	b := newBench(t, 93, 1)
	readings(b, 105, 90, 74, 60, 45, 30, 15.02, 0.01)
	f := b.run(begin(t, direct(), `{"method":"several_lengths","gauge":"caliper","lengths":8,"commanded_mm":120,"verify":false}`))
	wantNote(t, f, "The reading at 45\u00a0mm of pass 1 lies off the line of the others. It was kept")
	if _, open := b.entry("feed_pass"); len(open["blocks"].([]any)) != 8 {
		t.Errorf("a reading is gone: %v", open["blocks"])
	}
}

// A near flag that has gone in, and filament that sagged while it cooled, both need flags anew; blocks need a new mark.
func TestWhatSaggedIsMeasuredAnew(t *testing.T) {
	b := newBench(t, 93, 1)
	b.says["near flag 1"] = `{"instead":"set_anew"}`
	b.cools["near flag 1, again 2"] = true
	b.run(begin(t, direct(), `{"method":"two_flags","gauge":"caliper"}`))
	if asked := names(b); !slices.Contains(asked, "flags 1, again 3") || slices.Contains(asked, "flags 1, again 4") {
		t.Errorf("asked were %q", asked)
	}
	once := []string{"ready at 210", "feed 5 at 0.832", "cool"} // the heater is off while flags are set anew
	if want := slices.Concat(once, once, once[:2], []string{"ready at 210", "feed 100 at 0.832", "cool"}); !slices.Equal(b.did, want) {
		t.Errorf("the printer did %q, want %q", b.did, want)
	}
	b = newBench(t, 93, 1)
	b.cools["leftover 1, length 2"] = true
	order := begin(t, direct(), `{"method":"several_lengths","gauge":"caliper"}`)
	f := b.run(order)
	wantKind(t, f, "leave", "Leave it at 93.00")
	if asked := names(b); !slices.Contains(asked, "mark 1, again 2") {
		t.Errorf("asked were %q", asked)
	}
	replay.EveryPrefix(t, feed.Check(), order, b.facts, f)
}

// Setting flags takes longer than plastic keeps: the heater is off while they are set, also before a second pass.
func TestFlagsAreSetCold(t *testing.T) {
	b := newBench(t, 93, 1)
	b.run(begin(t, direct(), `{"method":"two_flags","gauge":"caliper","passes":2}`))
	want := []string{"ready at 210", "feed 5 at 0.832", "ready at 210", "feed 100 at 0.832", "cool"}
	if !slices.Equal(b.did, slices.Concat(want, want)) {
		t.Errorf("the printer did %q", b.did)
	}
}

// A far flag that went in is set farther out, as a mark is.
func TestAFarFlagThatWentInIsSetFartherOut(t *testing.T) {
	b := newBench(t, 93, 1.4)
	f := b.run(begin(t, direct(), `{"method":"two_flags","gauge":"caliper","verify":false}`))
	wantKind(t, f, "change", "Change it to 66.43")
}

func TestTheTubeIsTakenOffOnceAndPutBack(t *testing.T) {
	b := newBench(t, 93, 0.984)
	f := b.run(begin(t, bowden(), `{"method":"tube_end","gauge":"caliper","passes":2}`))
	wantKind(t, f, "change", "Change it to 94.51")
	wantNote(t, f, "Put the tube back into its coupler")
	near(t, "verified", value(t, f, "verified_fed_mm").Value, 100, 0.01)
	heats := 0
	for _, did := range b.did {
		if strings.HasPrefix(did, "ready at") {
			heats++
		}
	}
	if heats != 1 {
		t.Errorf("it heated %d times, and the tube was off from the first on: %q", heats, b.did)
	}
}

// A further pass, also one that takes over the passes of a check that ended long ago, asks whether the path is still open
// before the gear moves.
func TestAColdPassThatIsTakenOverAsksWhetherThePathIsOpen(t *testing.T) {
	for method, asks := range map[string]string{"cold": "path 2", "tube_end": "coupler 2"} {
		setup := direct()
		if method == "tube_end" {
			setup = bowden()
		}
		order := begin(t, setup, fmt.Sprintf(`{"method":%q,"gauge":"caliper","passes":2}`, method))
		b := newBench(t, 93, 1)
		f := b.run(order)
		replay.EveryPrefix(t, feed.Check(), order, b.facts, f)
		whole := slices.IndexFunc(b.facts, func(f routines.Fact) bool { return f.Kind == routines.Whole })
		again := newBench(t, 93, 1)
		again.marks, again.inMM = b.marks[:min(1, len(b.marks))], 100
		if _, err := feed.Check().Do(routines.NewRun(t.Context(), order, b.facts[:whole+1], again)); err != nil {
			t.Fatal(err)
		}
		if first := again.facts[0]; first.Kind != routines.Asked || first.Name != asks {
			t.Errorf("%s: taken over it begins with %s %q, want %q", method, first.Kind, first.Name, asks)
		}
	}
}

// Before anything heats a tube must be on, whatever was done before; and what was opened for a cold feed is to be closed.
func TestATubeMustBeOnAndAnOpenPathClosed(t *testing.T) {
	for _, setup := range []routines.Setup{direct(), bowden()} {
		b, c := newBench(t, 93, 1), newClimber(t, slips(10, 6))
		b.run(begin(t, setup, `{"gauge":"caliper"}`))
		setup.FeedMaxMMPerS = 12
		c.areaMM2 = setup.FilamentAreaMM2()
		c.run(beginFlow(t, setup, `{"gauge":"caliper"}`))
		for _, q := range []routines.Question{b.asked("air"), c.asked("air")} {
			if told := strings.Contains(q.Fields[0].Label, "the tube in its coupler"); told != (setup.Drive == "bowden") || !*q.Fields[0].Must {
				t.Errorf("%s: it asks for %q", setup.Drive, q.Fields[0].Label)
			}
		}
	}
	wantNote(t, newBench(t, 93, 1).run(begin(t, direct(), `{"method":"cold","gauge":"caliper"}`)), "Put together again what was opened")
}

// A firmware that keeps its block is told apart from a nozzle that should have been hot.
func TestABlockThatStaysIsNamed(t *testing.T) {
	b := newBench(t, 93, 1)
	b.refuses = true
	f := b.run(begin(t, direct(), `{"method":"cold","gauge":"caliper"}`))
	wantKind(t, f, "failed", "Look at the printer first")
	if !strings.Contains(f.Reason, "not lifted by M302") {
		t.Errorf("it says %q", f.Reason)
	}
}
