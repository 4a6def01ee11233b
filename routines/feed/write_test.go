package feed_test

import (
	"slices"
	"strings"
	"testing"

	"fettle/routines"
	"fettle/serialio/gcode"
)

func TestPrinterThatDoesNotTellGetsARatio(t *testing.T) {
	b := newBench(t, 93, 0.984)
	b.reports = false
	f := b.run(begin(t, direct(), `{"gauge":"caliper"}`))
	wantKind(t, f, "ratio", "Multiply steps/mm by 1.0163")
	wantNote(t, f, "1.0163 times what it is")
	if slices.Contains(b.did, "restore") {
		t.Errorf("it went on to write: %q", b.did)
	}
}

func TestPrinterThatDoesNotTellMayBeLeft(t *testing.T) {
	b := newBench(t, 93, 1)
	b.reports = false
	wantKind(t, b.run(begin(t, direct(), `{"gauge":"caliper"}`)), "leave", "Leave it")
}

func TestEachStandingIsSaidAndKept(t *testing.T) {
	for _, tt := range []struct {
		standing, why, note, instead string
		takes, verifies              bool
	}{
		{routines.Verified, "", "read back", "", true, true},
		{routines.WrittenNotVerified, "the report did not come", "not proved", "", true, true},
		{routines.NotStored, "it has no store", "until the printer restarts", "Put M92 E94.51 at the start", true, true},
		{routines.NotWritten, "it takes no M92", "it takes no M92", "multiply its flow by 1.0162", false, false},
	} {
		t.Run(tt.standing, func(t *testing.T) {
			b := newBench(t, 93, 0.984)
			b.writes = func(b *bench, _, to float64) routines.Written {
				if tt.takes {
					b.steps = to
				}
				return routines.Written{Standing: tt.standing, Value: b.steps, Why: tt.why}
			}
			f := b.run(begin(t, direct(), `{"gauge":"caliper"}`))
			wantKind(t, f, "change", "Change it to 94.51")
			wantNote(t, f, tt.note)
			e, open := b.entry("steps_per_mm")
			if e.Standing != tt.standing || *e.Value != 94.51 {
				t.Errorf("the entry stands as %q with %g", e.Standing, *e.Value)
			}
			if said, _ := open["do_instead"].(string); !strings.Contains(said, tt.instead) || (tt.instead == "") != (said == "") {
				t.Errorf("the entry says to do %q instead, want %q", said, tt.instead)
			}
			if got := len(b.feds) == 2; got != tt.verifies {
				t.Errorf("it was verified: %t, want %t", got, tt.verifies)
			}
		})
	}
}

func TestPersonMayLeaveIt(t *testing.T) {
	b := newBench(t, 93, 0.984)
	b.says["apply"] = `{"apply":"leave"}`
	f := b.run(begin(t, direct(), `{"gauge":"caliper"}`))
	wantNote(t, f, "the person left it")
	if e, _ := b.entry("steps_per_mm"); e.Standing != routines.NotWritten || b.steps != 93 {
		t.Errorf("the entry stands as %q, the printer at %g", e.Standing, b.steps)
	}
}

func TestPersonMayForgoTheVerification(t *testing.T) {
	b := newBench(t, 93, 0.984)
	b.says["verify"] = `{"verify":false}`
	b.run(begin(t, direct(), `{"gauge":"caliper"}`))
	if len(b.feds) != 1 || b.steps != 94.51 {
		t.Errorf("%d feeds, %g steps/mm", len(b.feds), b.steps)
	}
}

func TestUnsavedSettingsAreAPersonsToSettle(t *testing.T) {
	inUse, stored := 900.0, 500.0
	acceleration := gcode.Difference{Word: "M204", Letter: "T", Tool: -1, InUse: &inUse, Stored: &stored}
	same := gcode.Difference{Word: "M92", Letter: "E", Tool: -1, InUse: &inUse, Stored: &stored}
	for _, tt := range []struct {
		answer string
		kept   int
		writes bool
	}{
		{"keep_unsaved", 1, true},
		{"save_too", 0, true},
		{"write_none", 0, false},
	} {
		t.Run(tt.answer, func(t *testing.T) {
			b := newBench(t, 93, 0.984)
			b.differ = []gcode.Difference{acceleration, same}
			b.says["differs"] = `{"unsaved":"` + tt.answer + `"}`
			b.run(begin(t, direct(), `{"gauge":"caliper","verify":false}`))
			if len(b.kept) != tt.kept || (b.steps == 94.51) != tt.writes {
				t.Errorf("kept %v, steps/mm %g", b.kept, b.steps)
			}
		})
	}
	b := newBench(t, 93, 0.984)
	b.differ = []gcode.Difference{same}
	b.run(begin(t, direct(), `{"gauge":"caliper","verify":false}`))
	if slices.ContainsFunc(b.questions, func(q routines.Question) bool { return q.Name == "differs" }) {
		t.Error("the value about to be written was asked about as if it were another one")
	}
}

func TestVerificationThatFailsIsSaid(t *testing.T) {
	b := newBench(t, 93, 0.984)
	b.writes = func(b *bench, _, to float64) routines.Written {
		b.truth = 0.95 // the gear slips from here on
		b.steps = to
		return routines.Written{Standing: routines.Verified, Value: to}
	}
	f := b.run(begin(t, direct(), `{"gauge":"caliper"}`))
	wantKind(t, f, "not_held", "94.51 is stored, but did not hold")
	if want := "A pass with it fed 96.54\u00a0mm of 100\u00a0mm, which is 3.46\u00a0mm off"; !strings.HasPrefix(f.Reason, want) {
		t.Errorf("the reason is %q, want %q", f.Reason, want)
	}
	wantNote(t, f, "another check")
	wantNote(t, f, "98.40 ±")
	if _, open := b.entry("feed_verification"); open["within"] != false {
		t.Errorf("the verification is %v", open)
	}
}

// However the pass after a change fails, the finding no longer advises the value it says is in the printer.
func TestEachWayAProofFailsIsSaid(t *testing.T) {
	for _, tt := range []struct{ name, standing, answer, headline, says string }{
		{"mark went in", routines.WrittenNotVerified, `{"instead":"mark_went_in"}`, "94.51 is written, but did not hold", "more than 120\u00a0mm"},
		{"came out", routines.NotStored, `{"instead":"filament_came_out"}`, "94.51 is in use, but did not hold", "came out"},
		{"too short", routines.Verified, `{"leftover_mm":30}`, "94.51 is stored, but did not hold", "fed 90.00\u00a0mm"},
		{"too cold", routines.Verified, "", "94.51 is stored, but did not hold", "too cold"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			b := newBench(t, 93, 0.984)
			b.writes = func(b *bench, _, to float64) routines.Written {
				b.steps, b.refuses = to, tt.answer == ""
				return routines.Written{Standing: tt.standing, Value: to}
			}
			b.says["leftover 2"] = tt.answer
			f := b.run(begin(t, direct(), `{"gauge":"caliper"}`))
			wantKind(t, f, "not_held", tt.headline)
			if !strings.Contains(f.Reason, tt.says) {
				t.Errorf("the reason is %q, want %q in it", f.Reason, tt.says)
			}
		})
	}
}
