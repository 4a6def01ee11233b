package feed_test

import (
	"slices"
	"strings"
	"testing"

	"fettle/routines"
)

// The target decides whether a finding that is told already is worth another pass.
func TestTargetAsksForPassesThatReachIt(t *testing.T) {
	for _, tt := range []struct {
		name, inputs string
		truth        float64
		asks         bool
		says         string
	}{
		{"reached", `{"gauge":"caliper"}`, 1, false, "±\u00a00.45\u00a0% meets the target of 0.5\u00a0%. Another pass would hardly change the finding."},
		{"in reach", `{"gauge":"caliper","target_percent":0.35}`, 0.95, true, "misses the target of 0.35\u00a0%: by the budget 4 passes in all would meet it."},
		{"out of reach", `{"gauge":"half_mm_rule"}`, 0.95, false, "misses the target of 0.5\u00a0%, and more passes stop helping at ±\u00a00.65\u00a0%: that is common to all of them."},
		{"wide enough", `{"gauge":"mm_rule","target_percent":1.5}`, 0.95, false, "meets the target of 1.5\u00a0%"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			b := newBench(t, 93, tt.truth)
			b.says["another 1"], b.says["apply"] = `{"another":false}`, `{"apply":"leave"}`
			f := b.run(begin(t, direct(), tt.inputs))
			wantNote(t, f, tt.says)
			if asked := slices.Contains(names(b), "another 1"); asked != tt.asks {
				t.Errorf("another pass offered: %t, want %t", asked, tt.asks)
			}
			if tt.asks && b.asked("another 1").Figure != "enough" {
				t.Errorf("it is asked as %q", b.asked("another 1").Figure)
			}
		})
	}
}

// What was forecast is what comes: passes at a target that is in reach end there.
func TestForecastOfPassesComesTrue(t *testing.T) {
	b := newBench(t, 93, 0.95)
	b.says["apply"] = `{"apply":"leave"}`
	f := b.run(begin(t, direct(), `{"gauge":"caliper","target_percent":0.35}`))
	if len(b.feds) != 4 {
		t.Errorf("it took %d passes, 4 were forecast", len(b.feds))
	}
	wantNote(t, f, "meets the target of 0.35\u00a0%")
}

func TestLargestPartIsNamedInOneSentence(t *testing.T) {
	for inputs, says := range map[string]string{
		`{"gauge":"half_mm_rule","verify":false}`: "The largest part of ± is the limit of the instrument, the same in every pass.",
		`{"gauge":"caliper","verify":false}`:      "The largest part of ± is the pen line; more passes lessen it.",
		`{"gauge":"mm_rule","verify":false}`:      "The largest part of ± is reading the ",
	} {
		wantNote(t, newBench(t, 93, 0.95).run(begin(t, direct(), inputs)), says)
	}
}

// Where the gauge is most of what is missed, the finding says what a finer one would come to, and that is what one comes to.
func TestAFinerGaugeIsNamedWhereItIsMostOfIt(t *testing.T) {
	const says = "Most of ± is your gauge (rule, 0.5 mm divisions): with a caliper, 0.05 mm it would come to ±\u00a00.4"
	b := newBench(t, 93, 0.95)
	wantNote(t, b.run(begin(t, direct(), `{"gauge":"half_mm_rule","verify":false}`)), says)
	b = newBench(t, 93, 0.95)
	near(t, "with that caliper, %", *value(t, b.run(begin(t, direct(), `{"gauge":"vernier_caliper","verify":false}`)), "error_percent").U95, 0.46, 0.01)
	for _, inputs := range []string{`{"gauge":"half_mm_rule","target_percent":1,"verify":false}`, `{"gauge":"caliper","target_percent":0.1,"verify":false}`} {
		b = newBench(t, 93, 0.95)
		b.says["another 1"] = `{"another":false}`
		for _, n := range b.run(begin(t, direct(), inputs)).Notes {
			if strings.Contains(n, "is your gauge") {
				t.Errorf("%s: %q", inputs, n)
			}
		}
	}
}

// Another method is offered where its budget is clearly smaller and the target is missed, and nowhere else.
func TestAnotherMethodIsOfferedWhereItIsWorthIt(t *testing.T) {
	const offered = "would be worth it"
	has := func(f routines.Finding) bool {
		return slices.ContainsFunc(f.Notes, func(n string) bool { return strings.Contains(n, offered) })
	}
	b := newBench(t, 93, 0.95)
	b.says["another 1"] = `{"another":false}`
	f := b.run(begin(t, direct(), `{"gauge":"caliper","target_percent":0.3,"verify":false}`))
	wantNote(t, f, "Two flags of tape would be worth it: one pass comes to ±\u00a00.2")
	if b := newBench(t, 93, 0.95); has(b.run(begin(t, direct(), `{"gauge":"caliper","verify":false}`))) {
		t.Error("it is offered although the target is met")
	}
	if b := newBench(t, 93, 0.95); has(b.run(begin(t, direct(), `{"gauge":"half_mm_rule","verify":false}`))) {
		t.Error("it is offered although the rule's own limit rules there too")
	}
}

// Parts that bear a large change out make it believed of one pass; parts that do not, or none, ask for a second.
func TestPartsBearALargeChangeOut(t *testing.T) {
	borne := direct()
	borne.Gear = &routines.Gear{StepsPerRev: 200, Microsteps: 16, Ratio: 1, EffectiveDiameterMM: 7.3} // 139.5
	b := newBench(t, 93, 2./3)                                                                        // to 139.5: a new gear
	f := b.run(begin(t, borne, `{"gauge":"caliper","verify":false}`))
	wantKind(t, f, "change", "Change it to 139.50")
	if len(b.feds) != 1 {
		t.Errorf("%d passes, want the one", len(b.feds))
	}
	b = newBench(t, 93, 2./3)
	b.run(begin(t, direct(), `{"gauge":"caliper","verify":false}`))
	if len(b.feds) != 2 {
		t.Errorf("without parts %d passes, want two that agree", len(b.feds))
	}
}

// 200 × 16 × 3 / (π × 7.5 mm) = 407.44 (textbook mechanics); a third, a half and double of it are settings.
func TestAWrongSettingIsNamedByTheParts(t *testing.T) {
	geared := direct()
	geared.Gear = &routines.Gear{StepsPerRev: 200, Microsteps: 16, Ratio: 3, EffectiveDiameterMM: 7.5}
	for _, tt := range []struct {
		steps float64
		says  string
	}{
		{135.0, "gear ratio of 3 is counted on one side only"},
		{203.0, "microsteps differ by a factor of 2"},
		{800.0, "microsteps differ by a factor of 2"},
	} {
		b := newBench(t, tt.steps, 0.985)
		f := b.run(begin(t, geared, `{"gauge":"caliper","verify":false}`))
		wantNote(t, f, "The gear data of the setup give 407.44 steps/mm: one of the two is wrong.")
		wantNote(t, f, tt.says)
		if warned := strings.Join(b.asked("apply").Warning, "\n"); !strings.Contains(warned, "a setting rather than a calibration") {
			t.Errorf("before writing it warns of %q", warned)
		}
	}
}
