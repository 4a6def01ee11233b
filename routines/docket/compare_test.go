package docket_test

import (
	"strings"
	"testing"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/serialio/gcode"
)

func report(lines ...string) gcode.Settings { return gcode.ParseSettings(lines) }

var asFound = []string{"M92 X80.00 Y80.00 Z400.00 E95.88", "M203 X300.00 Y300.00 Z8.00 E60.00", "M201 X2000.00 Y2000.00 Z100.00 E5000.00",
	"M204 P1000.00 R1500.00 T1200.00", "M205 X8.00", "M207 S1.00 F1800.00 Z0.00", "M208 S0.00 F1800.00"} // does not change

func (b *book) read(lines ...string) {
	b.add(docket.Entry{Entry: routines.Entry{Kind: docket.KindSettings, Body: raw(docket.SettingsBody{Numbers: docket.Compared(report(lines...))})}})
}

func differences(b *book, lines ...string) string {
	var texts []string
	for _, d := range docket.Compare(docket.Wants(b.entries), report(lines...)) {
		texts = append(texts, d.Text)
	}
	return strings.Join(texts, "\n")
}

func with(lines []string, instead string) []string {
	word, _, _ := strings.Cut(instead, " ")
	out := append([]string{}, lines...)
	for i := range out {
		if strings.HasPrefix(out[i], word+" ") {
			out[i] = instead
		}
	}
	return out
}

func TestSettingsAreComparedAndBothNumbersSaid(t *testing.T) {
	b := tuned()
	b.read(asFound...)
	if got := differences(b, asFound...); got != "" {
		t.Errorf("as found: %s", got)
	}
	for instead, want := range map[string]string{
		"M92 X81.00 Y80.00 Z400.00 E93.00":       "Steps/mm: the docket has 95.88, the printer has 93 (M92 E)",
		"M203 X300.00 Y300.00 Z8.00 E25.00":      "Highest speed of E: the docket has 60, the printer has 25 (M203 E)",
		"M201 X500.00 Y2000.00 Z100.00 E5000.00": "Highest acceleration of X: the docket has 2000, the printer has 500 (M201 X)",
		"M204 P1000.00 R1500.00 T3000.00":        "Acceleration of travelling: the docket has 1200, the printer has 3000 (M204 T)",
		"M204 P1000.00 R1500.00":                 "Acceleration of travelling: the docket has 1200, the printer reports none (M204 T)",
		"M207 S2.50 F1800.00 Z0.00":              "Retraction length: the docket has 1, the printer has 2.5 (M207 S)",
		"M205 X12.00":                            "",
	} {
		if got := differences(b, with(asFound, instead)...); got != want {
			t.Errorf("%s: %q, want %q", instead, got, want)
		}
	}
	if got := differences(b); got != "" {
		t.Errorf("a printer that reports nothing: %s", got)
	}
}

// The firmware is held to what it was handed; where the slicing program got the values last, it still holds the older ones.
func TestTheFirmwareIsComparedWithWhatItWasHanded(t *testing.T) {
	b := tuned()
	b.read(asFound...)
	b.handedTo(docket.Firmware, routines.Verified, b.plum.ID)
	given := with(with(asFound, "M207 S0.80 F2100.00 Z0.00"), "M208 S0.00 F2100.00")
	if got := differences(b, given...); got != "" {
		t.Errorf("as given: %s", got)
	}
	if got := differences(b, with(given, "M207 S0.50 F2100.00 Z0.00")...); got != "Retraction length: the docket has 0.8, the printer has 0.5 (M207 S)" {
		t.Error(got)
	}
}

// After a person changed an acceleration, what the printer has then is what it should have; renewed firmware is compared.
func TestSettingsAreTakenAnewWhereAPersonChangedThem(t *testing.T) {
	b := tuned()
	if docket.Seen(b.entries) {
		t.Error("seen before it was read")
	}
	b.read(asFound...)
	faster := with(asFound, "M204 P1000.00 R1500.00 T3000.00")
	b.changed("firmware", "")
	if !docket.Seen(b.entries) || differences(b, faster...) == "" {
		t.Error("renewed firmware is taken for good")
	}
	b.changed("acceleration", "")
	if docket.Seen(b.entries) || differences(b, faster...) != "" {
		t.Error("an acceleration that a person changed is compared with the old one")
	}
	b.read(faster...)
	if !docket.Seen(b.entries) || differences(b, asFound...) == "" {
		t.Error("it is not compared with the new one")
	}
}

// Of several tools the first one is compared.
func TestTheFirstToolIsCompared(t *testing.T) {
	numbers := docket.Compared(report("M92 X80.00 Y80.00 Z400.00", "M92 T0 E93.00", "M92 T1 E140.00", "M301 P12"))
	if len(numbers) != 1 || numbers[0] != (docket.Number{Word: "M92", Letter: "E", Value: 93}) {
		t.Errorf("%+v", numbers)
	}
}
