package docket

import (
	"slices"
	"strings"

	"fettle/serialio/gcode"
)

// secondsPerMinute: words carry speeds in mm/min, dockets in mm/s.
const secondsPerMinute = 60

// Numbers are the settings that values handed over to a firmware become: M207 pulls back (S mm, F mm/min, Z lift), M208
// pushes again (S surplus, F mm/min), M200 turns mm³ into mm of filament (D mm), by the open dialect of these printers (from
// memory).
func (h HandoverBody) Numbers() []Number {
	var out []Number
	for _, at := range []struct {
		word, letter, kind string
		times              float64
	}{
		{"M207", "S", RetractionLength, 1}, {"M207", "F", RetractSpeed, secondsPerMinute}, {"M207", "Z", Lift, 1},
		{"M208", "S", RestartSurplus, 1}, {"M208", "F", RestartSpeed, secondsPerMinute},
		{"M200", "D", FilamentDiameter, 1},
	} {
		for _, g := range h.Values {
			if g.Kind == at.kind {
				out = append(out, Number{at.word, at.letter, rounded(g.Value * at.times)})
			}
		}
	}
	return out
}

// Numbers are the settings that any firmware which pulls back can be given. M200 is not among them: where lengths are meant
// in mm it would have them taken for mm³.
func (d Docket) Numbers() []Number {
	all := HandoverBody{To: Firmware, Values: d.For(Firmware)}.Numbers()
	return slices.DeleteFunc(all, func(n Number) bool { return n.Word == "M200" })
}

// inVolume reports whether a printer's lengths are mm³ of filament, by its own report.
func inVolume(s gcode.Settings) bool {
	on, said := s.Value("M200", 'S', 0)
	diameterMM, _ := s.Value("M200", 'D', 0)
	return diameterMM > 0 && (on > 0 || !said)
}

// Lines prints settings as the words that set them, one line for each word.
func Lines(numbers []Number) []string {
	out := []string{}
	for i, n := range numbers {
		if i == 0 || numbers[i-1].Word != n.Word {
			out = append(out, n.Word)
		}
		out[len(out)-1] = strings.Join([]string{out[len(out)-1], n.Letter + plain(n.Value)}, " ")
	}
	return out
}
