package docket

import (
	"encoding/json"
	"math"
	"slices"
	"time"

	"fettle/routines"
	"fettle/serialio/gcode"
)

// Who can pull back, and so have the values.
const (
	Firmware       = "firmware"
	SlicingProgram = "slicing_program"
)

// HandedOver says who has the values of a docket.
type HandedOver struct {
	To         string    `json:"to"`
	Entry      int64     `json:"entry"`
	At         time.Time `json:"at"`
	Who        string    `json:"who,omitempty"`
	Standing   string    `json:"standing,omitempty"`    // in the firmware: verified, written or not stored
	Changed    []string  `json:"changed"`               // kinds that are others now than those handed over
	ReplacedBy string    `json:"replaced_by,omitempty"` // the material whose values the firmware has been given since
}

// HandoverBody is what the entry of a hand-over holds.
type HandoverBody struct {
	To     string   `json:"to"`
	Values []Given  `json:"values"`
	Kept   []string `json:"not_taken,omitempty"` // kinds that the printer has no setting for
	Why    string   `json:"why,omitempty"`
	Said   string   `json:"printer_said,omitempty"`
}

// Take leaves in a hand-over to the firmware what the printer reports a setting for; and the filament's diameter only where
// its lengths are mm³ already, since setting it would make them so.
func (h *HandoverBody) Take(s gcode.Settings) {
	h.Values = slices.DeleteFunc(slices.Clone(h.Values), func(g Given) bool {
		if g.Kind == FilamentDiameter {
			return !inVolume(s)
		}
		numbers := HandoverBody{Values: []Given{g}}.Numbers()
		_, reported := s.Value(numbers[0].Word, numbers[0].Letter[0], 0)
		if !reported {
			h.Kept = append(h.Kept, g.Kind)
		}
		return !reported
	})
	if !inVolume(s) { // also one that is measured later
		h.Kept = append(h.Kept, FilamentDiameter)
	}
}

// A Given is one value that was handed over.
type Given struct {
	Kind  string  `json:"kind"`
	Value float64 `json:"value"`
}

// ofFirmware are the values that a firmware which pulls back by itself is given.
var ofFirmware = []string{RetractionLength, RetractSpeed, RestartSpeed, RestartSurplus, Lift, FilamentDiameter} // does not change

// For lists what is handed over to one of the two: to the slicing program everything but the steps/mm, which are the
// printer's own. A firmware is given no diameter that nobody found: it has its own.
func (d Docket) For(to string) []Given {
	out := []Given{}
	for _, r := range d.Rows {
		if r.Value == nil || r.Kind == StepsPerMM || to == Firmware && !slices.Contains(ofFirmware, r.Kind) {
			continue
		}
		if to == Firmware && r.Kind == FilamentDiameter && r.From.Source == OfSetup {
			continue
		}
		out = append(out, Given{r.Kind, *r.Value})
	}
	return out
}

func handover(e Entry) (b HandoverBody, ok bool) {
	if e.Kind != KindHandover || e.Standing == routines.NotWritten || json.Unmarshal(e.Body, &b) != nil {
		return b, false
	}
	return b, b.To == Firmware || b.To == SlicingProgram
}

// handedOver is the newest hand-over of this material; the one before it ends with it.
func (f fold) handedOver(d Docket) *HandedOver {
	for i, e := range slices.Backward(f.entries) {
		body, ok := handover(e)
		if !ok || e.Material != f.material.ID {
			continue
		}
		h := &HandedOver{To: body.To, Entry: e.ID, At: e.At, Who: e.Who, Standing: e.Standing, Changed: d.changed(body)}
		if h.To == Firmware {
			h.ReplacedBy = replaced(f.entries[i+1:])
		}
		return h
	}
	return nil
}

// replaced is the material whose values the firmware was given last; it holds those of one.
func replaced(later []Entry) string {
	for _, e := range slices.Backward(later) {
		if body, ok := handover(e); ok && body.To == Firmware {
			return e.Material
		}
	}
	return ""
}

func (d Docket) changed(given HandoverBody) []string {
	out := []string{}
	for _, now := range d.For(given.To) {
		if slices.Contains(given.Kept, now.Kind) {
			continue
		}
		i := slices.IndexFunc(given.Values, func(g Given) bool { return g.Kind == now.Kind })
		if i < 0 || math.Abs(given.Values[i].Value-now.Value) > 1e-6 {
			out = append(out, now.Kind)
		}
	}
	return out
}
