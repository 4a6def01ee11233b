package docket_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fettle/routines"
	"fettle/routines/docket"
)

// Where nothing was found a docket says so, row by row.
func TestAnEmptyDocketSaysWhatIsAssumed(t *testing.T) {
	d := newBook().docket()
	for kind, want := range map[string]string{
		docket.RetractionLength: "none: not known yet", docket.RestartSurplus: "0 common_practice: common practice, not measured",
		docket.ShortestTravel: "1 common_practice: common practice, not measured", docket.Lift: "0 common_practice: common practice, not measured",
		docket.NozzleC: "210 data_sheet: by the material's data sheet", docket.FilamentDiameter: "1.75 setup: as the setup says",
		docket.NozzleBore: "0.4 setup: as the setup says", docket.StepsPerMM: "none: not known yet",
	} {
		r := d.Row(kind)
		got := r.From.Source + ": " + r.From.How
		if r.Value != nil {
			got = fmt.Sprint(*r.Value, " ", got)
		}
		if got != want {
			t.Errorf("%s: %s, want %s", kind, got, want)
		}
	}
	b := newBook()
	b.setup.Drive = "bowden"
	if v, _ := b.docket().Value(docket.ShortestTravel); v != 2 {
		t.Errorf("with a tube the shortest travel is %g", v)
	}
}

// A feed check that leaves the steps/mm as they are proves them; one that could not tell proves nothing; what was not
// written is not held.
func TestStepsAreProved(t *testing.T) {
	b := newBook()
	b.add(docket.Entry{Material: "grey-petg", Run: "r1", Entry: routines.Entry{Kind: "feed_check", Body: raw(map[string]any{"finding": "cannot_tell", "measured_with_steps_per_mm": 93})}})
	if r := b.docket().Row(docket.StepsPerMM); r.Value != nil || b.docket().Due[0] != (docket.Step{Do: docket.DoFeed, Text: "the feed is not proved yet"}) {
		t.Errorf("%+v %+v", r, b.docket().Due)
	}
	b.found(docket.StepsPerMM, 99, 0.4, "steps/mm", "r2")
	b.entries[1].Standing = routines.NotWritten
	b.add(docket.Entry{Material: "grey-petg", Run: "r3", Entry: routines.Entry{Kind: "feed_check", Body: raw(map[string]any{"finding": "leave", "measured_with_steps_per_mm": 93, "u95_percent": 0.5})}})
	r := b.docket().Row(docket.StepsPerMM)
	if r.Value == nil || *r.Value != 93 || *r.U95 != 0.465 || r.From.How != "found right by run r3" || len(r.Earlier) > 0 || r.Typed != nil {
		t.Errorf("%+v", r)
	}
}

// What is due comes in the order of the work, one thing after the other.
func TestWhatIsDueComesInTheOrderOfTheWork(t *testing.T) {
	b := newBook()
	due := func(want string) {
		t.Helper()
		var do []string
		for _, s := range b.docket().Due {
			if do = append(do, s.Do); s.Text == "" {
				t.Errorf("%s says nothing", s.Do)
			}
		}
		if got := strings.Join(do, " "); got != want {
			t.Errorf("due: %s, want %s", got, want)
		}
	}
	due("feed_check travel_ladder retraction_ladder")
	b.found(docket.StepsPerMM, 95.88, 0.4, "steps/mm", "r1")
	due("travel_ladder retraction_ladder")
	b.found(docket.TravelSpeed, 175, 0, "mm/s", "r2")
	due("retraction_ladder")
	b.found(docket.RetractionLength, 0.8, 0.1, "mm", "r3")
	b.entries[2].Standing = docket.NotConfirmed
	due("confirm hand_over")
	b.found(docket.RetractionLength, 0.8, 0.1, "mm", "r4")
	due("hand_over")
	b.handedTo(docket.SlicingProgram, "", b.plum.ID)
	due("")
	b.typed(docket.RetractionLength, 0.9)
	due("confirm hand_over")
	b.changed("fan", "")
	due("travel_ladder retraction_ladder")
	b.changed("new_gear", "")
	due("feed_check travel_ladder retraction_ladder")
	if text := b.docket().Due[1].Text; text != "travel speed: fan since then; new gear since then" {
		t.Errorf("%q", text)
	}
}

// A check of a printer that does not tell its steps/mm proves the feed where it leaves it: there is nothing more to know.
func TestAPrinterThatDoesNotTellItsStepsIsChecked(t *testing.T) {
	b := newBook()
	b.add(docket.Entry{Material: b.plum.ID, Run: "r1", Entry: routines.Entry{Kind: "feed_check", Body: raw(map[string]any{"finding": "leave"})}})
	if due := b.docket().Due; due[0].Do != docket.DoTravel {
		t.Errorf("%+v", due)
	}
	b.changed("new_gear", "")
	if due := b.docket().Due; due[0].Do != docket.DoFeed {
		t.Errorf("%+v", due)
	}
}

// Going back says whose value it is, and it is as old as when it was found.
func TestAValueHoldsAgain(t *testing.T) {
	b := tuned()
	b.changed("new_nozzle", "")
	last := b.found(docket.RetractionLength, 0.6, 0.05, "mm", "r8")
	b.reverted(t, 11)
	r := b.docket().Row(docket.RetractionLength)
	if *r.Value != 0.8 || *r.U95 != 0.1 || r.From.How != "reverted to entry 11 by Bob" || r.From.Source != docket.Reverted || r.Fresh || r.Stale[0].What != "new_nozzle" {
		t.Errorf("%+v", r)
	}
	if len(r.Earlier) != 1 || r.Earlier[0].Entry != last {
		t.Errorf("%+v", r.Earlier)
	}
	for _, none := range []int64{11, 3, 99} {
		var field *routines.FieldError
		if _, _, err := b.docket().Reverting(none); !errors.As(err, &field) || field.Field != "entry" || field.Accept == "" {
			t.Errorf("%d: %v", none, err)
		}
	}
}

// holds is what a docket says of its values, without when and by whom they were put there.
func holds(d docket.Docket) string {
	var out strings.Builder
	for _, r := range d.Rows {
		fmt.Fprintln(&out, r.Kind, r.Value != nil, r.Fresh, r.Again, r.Stale)
		if r.Value != nil {
			fmt.Fprintln(&out, *r.Value, r.U95 != nil, r.Standing)
		}
	}
	return out.String()
}

// Going back and back again leaves a docket as it was, whatever happened before.
func TestRevertingTwiceChangesNothing(t *testing.T) {
	kinds := []string{docket.RetractionLength, docket.TravelSpeed, docket.NozzleC, docket.FanPercent, docket.FlowLimit, docket.PressureCompensation}
	rapid.Check(t, func(rt *rapid.T) {
		b := newBook()
		for i := range rapid.IntRange(2, 25).Draw(rt, "entries") {
			kind := rapid.SampledFrom(kinds).Draw(rt, "kind")
			switch rapid.IntRange(0, 4).Draw(rt, "what") {
			case 0:
				b.changed(rapid.SampledFrom(docket.Changes()).Draw(rt, "change").What, "")
			case 1:
				b.typed(kind, rapid.Float64Range(1, 200).Draw(rt, "value"))
			case 2:
				if earlier := b.docket().Row(kind).Earlier; len(earlier) > 0 {
					b.reverted(t, rapid.SampledFrom(earlier).Draw(rt, "earlier").Entry)
				}
			default:
				b.found(kind, rapid.Float64Range(1, 200).Draw(rt, "value"), 0.1, "x", fmt.Sprint("r", i/2))
			}
		}
		before := b.docket()
		for _, row := range before.Rows {
			if len(row.Earlier) == 0 {
				continue
			}
			now := row.From.Entry
			var of int64
			if _, err := fmt.Sscanf(row.From.How, "reverted to entry %d", &of); err == nil {
				now = of
			}
			back := b.docket().Row(row.Kind).Earlier[0]
			b.reverted(t, back.Entry)
			if got, _ := b.docket().Value(row.Kind); got != back.Value {
				rt.Fatalf("%s is %g, want %g", row.Kind, got, back.Value)
			}
			b.reverted(t, now)
			if got, want := holds(b.docket()), holds(before); got != want {
				rt.Fatalf("there and back:\n%s\nwant\n%s", got, want)
			}
		}
	})
}
