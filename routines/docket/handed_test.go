package docket_test

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"fettle/routines"
	"fettle/routines/docket"
)

func TestTheDocketSaysWhoHasTheValues(t *testing.T) {
	b := tuned()
	b.setup.Retracts = "firmware"
	if d := b.docket(); d.Active != "" || d.HandedOver != nil || d.Retracts != "firmware" {
		t.Errorf("before: %q %+v %q", d.Active, d.HandedOver, d.Retracts)
	}
	b.handedTo(docket.Firmware, routines.NotWritten, b.plum.ID)
	if d := b.docket(); d.Active != "" {
		t.Errorf("what was not written is active: %q", d.Active)
	}
	b.handedTo(docket.Firmware, routines.Verified, b.plum.ID)
	d := b.docket()
	if d.Active != docket.Firmware || d.HandedOver.Standing != routines.Verified || len(d.HandedOver.Changed) > 0 {
		t.Errorf("%q %+v", d.Active, d.HandedOver)
	}
	b.found(docket.RetractionLength, 0.7, 0.1, "mm", "r6")
	b.found(docket.TravelSpeed, 200, 0, "mm/s", "r7") // not the firmware's
	if got := fmt.Sprint(b.docket().HandedOver.Changed); got != "[retraction_length_mm]" {
		t.Errorf("changed: %s", got)
	}
	b.handedTo(docket.Firmware, routines.Verified, "grey-petg")
	if h := b.docket().HandedOver; h.ReplacedBy != "grey-petg" || b.docket().Due[0].Do != docket.DoHandOver {
		t.Errorf("%+v %+v", h, b.docket().Due)
	}
	b.handedTo(docket.SlicingProgram, "", b.plum.ID)
	if d := b.docket(); d.Active != docket.SlicingProgram || d.Retracts != docket.SlicingProgram || d.HandedOver.ReplacedBy != "" {
		t.Errorf("%q %+v", d.Active, d.HandedOver)
	}
}

// Whatever was handed over to whom, for whichever material: a material of which something was handed over has exactly one
// active, the one that got it last; and the firmware holds the values of one material at most.
func TestExactlyOneIsActive(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := tuned()
		last := map[string]string{}
		for range rapid.IntRange(1, 12).Draw(rt, "hand-overs") {
			to := rapid.SampledFrom([]string{docket.Firmware, docket.SlicingProgram}).Draw(rt, "to")
			material := rapid.SampledFrom([]string{"plum-pla", "grey-petg", "clear-tpu"}).Draw(rt, "material")
			standing := rapid.SampledFrom([]string{routines.Verified, routines.NotStored, routines.NotWritten}).Draw(rt, "standing")
			b.handedTo(to, standing, material)
			if standing != routines.NotWritten {
				last[material] = to
			}
		}
		holds := 0
		for _, id := range []string{"plum-pla", "grey-petg", "clear-tpu"} {
			m := plum()
			m.ID = id
			d := docket.Of("p1", b.entries, b.setup, m)
			if d.Active != last[id] || (d.HandedOver == nil) != (last[id] == "") {
				rt.Fatalf("%s: %q is active, want %q", id, d.Active, last[id])
			}
			if d.Active == docket.Firmware && d.HandedOver.ReplacedBy == "" {
				holds++
			}
		}
		if holds > 1 {
			rt.Fatalf("the firmware holds the values of %d materials", holds)
		}
	})
}

func TestAFirmwareTakesWhatItHasASettingFor(t *testing.T) {
	b := tuned()
	h := docket.HandoverBody{To: docket.Firmware, Values: b.docket().For(docket.Firmware)}
	h.Take(report("M207 S1.00 F1800.00"))
	if got := fmt.Sprint(h.Values, h.Kept); got != "[{retraction_length_mm 0.8} {retract_speed_mm_per_s 35}] [restart_speed_mm_per_s restart_surplus_mm lift_mm filament_diameter_mm]" {
		t.Error(got)
	}
	b.add(docket.Entry{Material: b.plum.ID, Entry: routines.Entry{Kind: docket.KindHandover, Standing: routines.Verified, Body: raw(h)}})
	if d := b.docket(); len(d.HandedOver.Changed) > 0 {
		t.Errorf("%+v", d.HandedOver)
	}
	b.typed(docket.RetractSpeed, 30)
	if got := fmt.Sprint(b.docket().HandedOver.Changed); got != "[retract_speed_mm_per_s]" {
		t.Error(got)
	}
}
