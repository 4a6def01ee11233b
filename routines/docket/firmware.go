package docket

import "strings"

// secondsPerMinute: words carry speeds in mm/min, dockets in mm/s.
const secondsPerMinute = 60

// numbers are the settings that values handed over to a firmware become: M207 pulls back (S mm, F mm/min, Z lift), M208
// pushes again (S surplus, F mm/min), by the open dialect of these printers (from memory).
func (h HandoverBody) numbers() []Number {
	var out []Number
	for _, at := range []struct {
		word, letter, kind string
		times              float64
	}{
		{"M207", "S", RetractionLength, 1}, {"M207", "F", RetractSpeed, secondsPerMinute}, {"M207", "Z", Lift, 1},
		{"M208", "S", RestartSurplus, 1}, {"M208", "F", RestartSpeed, secondsPerMinute},
	} {
		for _, g := range h.Values {
			if g.Kind == at.kind {
				out = append(out, Number{at.word, at.letter, rounded(g.Value * at.times)})
			}
		}
	}
	return out
}

// Numbers are the settings that the firmware would be given.
func (d Docket) Numbers() []Number {
	return HandoverBody{To: Firmware, Values: d.For(Firmware)}.numbers()
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
