package docket_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"fettle/routines"
	"fettle/routines/docket"
)

const (
	flow     = "flow_factor flow_limit_mm3_per_s"
	length   = "retraction_length_mm retract_speed_mm_per_s restart_speed_mm_per_s"
	travel   = "travel_speed_mm_per_s"
	feed     = "steps_per_mm"
	hot      = "nozzle_c"
	diameter = "filament_diameter_mm"
)

// What a change makes stale, as the trade has it (common practice, no source): a new gear, the idler's tension or a motor
// setting everything after feed, which starts with the feed; filament of another size that and the diameter; nozzle, hot end or temperature flow and length; the tube or a
// coupler length; a material or spool flow and length, and its diameter; acceleration, pressure compensation or fan travel
// and length; firmware is compared.
var makesStale = map[string][]string{
	"new_gear":              {feed, hot, flow, travel, length},
	"idler_tension":         {feed, hot, flow, travel, length},
	"motor_setting":         {feed, hot, flow, travel, length},
	"filament_size":         {diameter, feed, hot, flow, travel, length},
	"new_nozzle":            {flow, length},
	"new_hot_end":           {flow, length},
	"temperature":           {flow, length},
	"tube":                  {length},
	"coupler":               {length},
	"new_material":          {diameter, flow, length},
	"new_spool":             {diameter, flow, length},
	"acceleration":          {travel, length},
	"pressure_compensation": {travel, length},
	"fan":                   {travel, length},
	"firmware":              {},
}

func TestEachChangeMakesStaleWhatItShould(t *testing.T) {
	if n := len(docket.Changes()); n != len(makesStale) {
		t.Errorf("%d changes, %d in the table", n, len(makesStale))
	}
	for what, groups := range makesStale {
		want := strings.Fields(strings.Join(groups, " "))
		slices.Sort(want)
		b := tuned()
		if got := staleKinds(b.docket()); len(got) > 0 {
			t.Fatalf("stale before anything changed: %v", got)
		}
		n := b.changed(what, "")
		d := b.docket()
		got := staleKinds(d)
		slices.Sort(got)
		if !slices.Equal(got, want) {
			t.Errorf("%s makes stale %v, want %v", what, got, want)
		}
		c, _ := docket.ChangeNamed(what)
		if promised := slices.Sorted(slices.Values(c.MakesStale())); !slices.Equal(promised, want) {
			t.Errorf("%s is said to make stale %v, want %v", what, promised, want)
		}
		for _, r := range d.Rows {
			if len(r.Stale) > 0 && (r.Fresh || r.Again == "" || r.Stale[0].Entry != n || !strings.Contains(r.Stale[0].Text, "since then")) {
				t.Errorf("%s: %+v", what, r)
			}
		}
	}
}

// A value that is found again is fresh, and the others stay as they were.
func TestWhatIsFoundAgainIsFresh(t *testing.T) {
	b := tuned()
	first := b.changed("new_nozzle", "")
	b.changed("new_nozzle", "")
	if why := b.docket().Row(docket.RetractionLength).Stale; len(why) != 1 || why[0].Entry != first {
		t.Errorf("what was stale already: %+v", why)
	}
	b.found(docket.RetractionLength, 0.9, 0.1, "mm", "r7")
	d := b.docket()
	if r := d.Row(docket.RetractionLength); !r.Fresh || r.From.How != "measured by run r7" || r.Again != "" {
		t.Errorf("%+v", r)
	}
	if r := d.Row(docket.FlowLimit); r.Fresh || r.Again != "flow_limit" {
		t.Errorf("%+v", r)
	}
}

// What was assumed was never found, so nothing makes it stale; and what is not known is not fresh.
func TestWhatWasAssumedIsNeverStale(t *testing.T) {
	b := newBook()
	for _, c := range docket.Changes() {
		b.changed(c.What, "")
	}
	for _, r := range b.docket().Rows {
		if len(r.Stale) > 0 || r.Fresh != (r.Value != nil) {
			t.Errorf("%+v", r)
		}
	}
}

// A change of another material is none of this one; the steps/mm are of all.
func TestAChangeOfAnotherMaterial(t *testing.T) {
	b := tuned()
	b.changed("new_spool", "grey-petg")
	b.changed("temperature", "grey-petg")
	if got := staleKinds(b.docket()); len(got) > 0 {
		t.Errorf("stale: %v", got)
	}
	other := b.plum
	other.ID = "grey-petg"
	d := docket.Of("p1", b.entries, b.setup, other)
	if v, ok := d.Value(docket.StepsPerMM); !ok || v != 95.88 {
		t.Errorf("steps/mm %v", v)
	}
	if _, ok := d.Value(docket.RetractionLength); ok {
		t.Error("the length of one material is another's")
	}
}

// A temperature that is typed anew is a change without being recorded, and going back undoes it. What a run records of
// itself holds for what it found, in whatever order.
func TestAConditionThatIsAnotherMakesStale(t *testing.T) {
	b := tuned()
	b.typed(docket.NozzleC, 195)
	d := b.docket()
	if got := strings.Join(staleKinds(d), " "); got != "retraction_length_mm retract_speed_mm_per_s restart_speed_mm_per_s flow_factor flow_limit_mm3_per_s" {
		t.Errorf("stale: %s", got)
	}
	if why := d.Row(docket.RetractionLength).Stale[0]; why.What != "temperature" || why.Text != "Nozzle temperature was 205 °C when it was found, and is 195 °C" || why.Entry != 0 {
		t.Errorf("%+v", why)
	}
	b.typed(docket.NozzleC, 205)
	if got := staleKinds(b.docket()); len(got) > 0 {
		t.Errorf("stale: %v", got)
	}
	b.found(docket.RetractionLength, 0.7, 0.1, "mm", "r9")
	b.found(docket.NozzleC, 200, 0, "°C", "r9")
	if r := b.docket().Row(docket.RetractionLength); !r.Fresh {
		t.Errorf("%+v", r)
	}
}

// What a setup says anew is a change; what it says for the first time is knowledge.
func TestASetupImpliesChanges(t *testing.T) {
	tube := &routines.Tube{BoreMM: 2, LengthMM: 600, QuarterTurns: 3}
	gear := &routines.Gear{StepsPerRev: 200, Microsteps: 16, Ratio: 3, EffectiveDiameterMM: 7.5}
	base := fitted()
	base.Tube, base.Gear, base.Liner = tube, gear, "fluoropolymer"
	for want, change := range map[string]func(*routines.Setup){
		"[]":                func(s *routines.Setup) { s.Version, s.Switch, s.NozzleMaxC, s.Retracts = 9, "left", 250, "firmware" },
		"[new_nozzle]":      func(s *routines.Setup) { s.NozzleBoreMM = 0.6 },
		"[tube]":            func(s *routines.Setup) { c := *tube; c.LengthMM = 580; s.Tube = &c },
		"[coupler]":         func(s *routines.Setup) { c := *tube; c.CouplerPlayMM = 0.4; s.Tube = &c },
		"[new_gear]":        func(s *routines.Setup) { c := *gear; c.EffectiveDiameterMM = 7.2; s.Gear = &c },
		"[motor_setting]":   func(s *routines.Setup) { c := *gear; c.Microsteps = 32; s.Gear = &c },
		"[new_hot_end]":     func(s *routines.Setup) { s.Liner = "all_metal" },
		"[new_gear tube]":   func(s *routines.Setup) { s.Drive = "bowden" },
		"[new_nozzle tube]": func(s *routines.Setup) { c := *tube; c.BoreMM = 1.9; s.Tube, s.NozzleBoreMM = &c, 0.8 },
		"[filament_size new_gear new_hot_end tube]": func(s *routines.Setup) { s.FilamentDiameterMM = 2.85 },
	} {
		next := base
		change(&next)
		if got := fmt.Sprint(docket.Implied(base, next)); got != want {
			t.Errorf("got %s, want %s", got, want)
		}
	}
	bare := fitted()
	bare.Liner = "unknown"
	if got := docket.Implied(bare, base); len(got) > 0 {
		t.Errorf("knowledge is taken for a change: %v", got)
	}
}
