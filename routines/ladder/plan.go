package ladder

import (
	"context"
	"errors"
	"fmt"
	"math"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/routines/piece"
	"fettle/serialio/gcode"
)

// held is everything that is the same in all bands of all pieces of a ladder, but for the one variable.
type held struct {
	NozzleC       float64 `json:"nozzle_c"`
	BedC          float64 `json:"bed_c"`
	FanPercent    float64 `json:"fan_percent"`
	PrintMMPerS   float64 `json:"print_mm_per_s"`
	LineWidthMM   float64 `json:"line_width_mm"`
	LayerMM       float64 `json:"layer_mm"`
	FilamentMM    float64 `json:"filament_mm"`
	FlowFactor    float64 `json:"flow_factor"`
	TravelMMPerS  float64 `json:"travel_mm_per_s"`
	RetractMM     float64 `json:"retract_mm"`
	RetractMMPerS float64 `json:"retract_mm_per_s"`
	RestartMMPerS float64 `json:"restart_mm_per_s"`
	LongestMM     float64 `json:"longest_stroke_mm"`        // of the ladder, its ceiling: the posts follow from it
	MostMM3PerS   float64 `json:"most_mm3_per_s,omitempty"` // flow that is never passed
}

// flowMM3PerS is the flow of a bead.
func (h held) flowMM3PerS() float64 { return h.LineWidthMM * h.LayerMM * h.PrintMMPerS }

// fastestMMPerS is the fastest whole speed of printing within the flow that is never passed.
func (h held) fastestMMPerS() float64 {
	if h.MostMM3PerS == 0 {
		return math.Inf(1)
	}
	return math.Floor(h.MostMM3PerS/(h.LineWidthMM*h.LayerMM) + 1e-9)
}

// What is usual where nobody said otherwise (common practice, no source).
const (
	firstTravelMMPerS = 150.0
	usualPrintMMPerS  = 40.0
	usualFanPercent   = 100.0
	usualStrokeMMPerS = 30.0
	softStrokeMMPerS  = 20.0 // flexible filament
	softFlowMM3PerS   = 2.0
	lineOfBore        = 1.125
	layerOfBore       = 0.625
)

func docketOf(b routines.Begin) docket.Docket {
	return docket.Of("", b.Records, b.Setup, b.Material)
}

// heldOf is what a run holds: as asked for, else as the docket has it, else as usual. A printer that is slower than that is
// not asked for more; what it was held to is still the same.
func heldOf(b routines.Begin, in inputs, d docket.Docket) held {
	known := func(kind string, usual float64) float64 {
		if v, ok := d.Value(kind); ok {
			return v
		}
		return usual
	}
	start := startOf(b)
	stroke := usualStrokeMMPerS
	if b.Material.Flexible {
		stroke = softStrokeMMPerS
	}
	stroke = math.Min(stroke, b.Setup.FeedMaxMMPerS)
	h := held{NozzleC: known(docket.NozzleC, b.Material.NozzleC), BedC: math.Min(known(docket.BedC, b.Material.BedC), b.Setup.BedMaxC), FanPercent: known(docket.FanPercent, usualFanPercent),
		LineWidthMM: hundredths(lineOfBore * b.Setup.NozzleBoreMM), LayerMM: hundredths(layerOfBore * b.Setup.NozzleBoreMM),
		FilamentMM: d.FilamentMM(b.Setup.FilamentDiameterMM), FlowFactor: known(docket.FlowFactor, 1),
		TravelMMPerS: known(docket.TravelSpeed, firstTravelMMPerS), RetractMM: strokeOf(d, start.MM, start.CeilingMM),
		RetractMMPerS: known(docket.RetractSpeed, stroke), RestartMMPerS: known(docket.RestartSpeed, stroke), LongestMM: start.CeilingMM}
	if limit, ok := d.Value(docket.FlowLimit); ok {
		h.MostMM3PerS = limit
	}
	if b.Material.Flexible && (h.MostMM3PerS == 0 || h.MostMM3PerS > softFlowMM3PerS) {
		h.MostMM3PerS = softFlowMM3PerS
	}
	h.PrintMMPerS = math.Min(usualPrintMMPerS, h.fastestMMPerS())
	for asked, into := range map[*float64]*float64{in.PrintMMPerS: &h.PrintMMPerS, in.NozzleC: &h.NozzleC, in.BedC: &h.BedC, in.FanPercent: &h.FanPercent, in.PastCeilingMM: &h.LongestMM} {
		if asked != nil {
			*into = *asked
		}
	}
	return h
}

// strokeOf is the retraction that is held while travel changes: what was found, as long as it still holds and lies within
// today's ceiling, else where a search would begin.
func strokeOf(d docket.Docket, startMM, ceilingMM float64) float64 {
	if r := d.Row(docket.RetractionLength); r != nil && r.Value != nil && r.Fresh && *r.Value <= ceilingMM {
		return *r.Value
	}
	return hundredths(math.Min(startMM, ceilingMM))
}

// differs says what of what was held is not so now; "" where it all is. The variable of the ladder is not held.
func (h held) differs(now held, kind piece.Variable) string {
	rows := []struct {
		what        string
		was, is     float64
		unit        string
		theVariable bool
	}{
		{"the nozzle", h.NozzleC, now.NozzleC, "°C", false},
		{"the bed", h.BedC, now.BedC, "°C", false},
		{"the line width", h.LineWidthMM, now.LineWidthMM, "mm", false},
		{"the layer", h.LayerMM, now.LayerMM, "mm", false},
		{"the retract speed", h.RetractMMPerS, now.RetractMMPerS, "mm/s", false},
		{"the restart speed", h.RestartMMPerS, now.RestartMMPerS, "mm/s", false},
		{"the longest stroke", h.LongestMM, now.LongestMM, "mm", kind == piece.Length},
		{"the fan", h.FanPercent, now.FanPercent, "%", false},
		{"the speed of printing", h.PrintMMPerS, now.PrintMMPerS, "mm/s", false},
		{"the filament's diameter", h.FilamentMM, now.FilamentMM, "mm", false},
		{"the flow factor", h.FlowFactor, now.FlowFactor, "", false},
		{"the travel speed", h.TravelMMPerS, now.TravelMMPerS, "mm/s", kind == piece.Travel},
		{"the retraction", h.RetractMM, now.RetractMM, "mm", kind == piece.Length},
	}
	for _, r := range rows {
		if !r.theVariable && math.Abs(r.was-r.is) > 1e-6 {
			return fmt.Sprintf("%s was %g %s and would be %g", r.what, r.was, r.unit, r.is)
		}
	}
	return ""
}

// reported is what a printer's own settings say about its motion.
type reported struct {
	MaxFeedMMPerS   [4]float64 `json:"max_feed_mm_per_s"`
	MaxAccelMMPerS2 [4]float64 `json:"max_accel_mm_per_s2"`
	PrintAccel      float64    `json:"print_accel_mm_per_s2"`
	TravelAccel     float64    `json:"travel_accel_mm_per_s2"`
	RetractAccel    float64    `json:"retract_accel_mm_per_s2"`
	Firmware        bool       `json:"firmware_retracts"`
	Assumed         bool       `json:"assumed,omitempty"` // it does not tell: a careful guess stands in
}

// begin works out what is held and reads what the printer says of its motion.
func begin(r *routines.Run, kind piece.Variable) (*ladder, error) {
	in, err := routines.Inputs[inputs](r.Begin)
	if err != nil {
		return nil, err
	}
	l := &ladder{Run: r, in: in, kind: kind, docket: docketOf(r.Begin), past: pastOf(r.Begin, in, kind)}
	l.held, l.pieces = heldOf(r.Begin, in, l.docket), l.past.pieces
	l.limits, err = routines.Act(r, "read motion", routines.Looks, func(ctx context.Context, p routines.Printer) (reported, error) {
		s, err := p.Settings(ctx)
		if err != nil {
			return reported{}, fmt.Errorf("ask for the settings: %w", err)
		}
		return reportedOf(s), nil
	})
	if err != nil {
		return nil, err
	}
	l.limits.Firmware = l.limits.Firmware && r.Setup.Retracts == "firmware"
	if before := l.past.limits; before != nil && *before != l.limits {
		return nil, fmt.Errorf("%w: piece %d was printed with others", errMotionChanged, l.past.pieces)
	}
	return l, nil
}

// errMotionChanged ends a run that would compare pieces of different accelerations.
var errMotionChanged = errors.New("the printer's speeds or accelerations, or who retracts, changed in the middle of this ladder: set them back, or begin afresh")

// reportedOf reads M203, M201 and M204. What a printer does not tell is guessed carefully, and that is said. Some firmwares
// give M203 in mm/min: no axis of a filament printer moves at over a metre and a half a second.
func reportedOf(s gcode.Settings) reported {
	var r reported
	careful := [4]float64{150, 150, 5, 25}
	for i, axis := range "XYZE" {
		feed, ok := s.Value("M203", byte(axis), 0)
		if perMin, told := s.Value("M203", 'X', 0); told && perMin > 1500 {
			feed /= 60
		}
		accel, too := s.Value("M201", byte(axis), 0)
		if !ok || feed <= 0 {
			feed, r.Assumed = careful[i], true
		}
		if !too || accel <= 0 {
			accel, r.Assumed = 1000, true
		}
		r.MaxFeedMMPerS[i], r.MaxAccelMMPerS2[i] = feed, accel
	}
	for letter, into := range map[byte]*float64{'P': &r.PrintAccel, 'T': &r.TravelAccel, 'R': &r.RetractAccel} {
		v, ok := s.Value("M204", letter, 0)
		if older, said := s.Value("M204", 'S', 0); !ok && letter == 'P' && said {
			v, ok = older, true
		}
		if !ok || v <= 0 {
			v, r.Assumed = 1000, true
		}
		*into = v
	}
	_, r.Firmware = s.Value("M207", 'S', 0)
	return r
}

// travelAccel is how fast the head gains speed along X, mm/s²: the lower of what is set for travels and what the axis may do.
func (r reported) travelAccel() float64 { return math.Min(r.TravelAccel, r.MaxAccelMMPerS2[0]) }

// spec is a piece of these values.
func (l *ladder) spec(values []float64) piece.Spec {
	m, h := l.limits, l.held
	before := l.Setup.Before
	if len(before) == 0 {
		before = []string{"G28"}
	}
	s := piece.Spec{Variable: l.kind, Values: values, Before: before, After: l.Setup.After}
	s.Machine = piece.Machine{BuildMM: [3]float64{l.Setup.BuildXMM, l.Setup.BuildYMM, l.Setup.BuildZMM}, MaxFeedMMPerS: m.MaxFeedMMPerS,
		MaxAccelMMPerS2: m.MaxAccelMMPerS2, PrintAccelMMPerS2: m.PrintAccel, TravelAccelMMPerS2: m.TravelAccel, RetractAccelMMPerS2: m.RetractAccel,
		FeedMaxMMPerS: l.Setup.FeedMaxMMPerS}
	strokes := math.Min(m.MaxFeedMMPerS[3], l.Setup.FeedMaxMMPerS)
	s.Held = piece.Held{FilamentMM: h.FilamentMM, NozzleBoreMM: l.Setup.NozzleBoreMM, LineWidthMM: h.LineWidthMM, LayerMM: h.LayerMM,
		PrintMMPerS: h.PrintMMPerS, FlowFactor: h.FlowFactor, FanPercent: h.FanPercent, TravelMMPerS: math.Min(h.TravelMMPerS, m.MaxFeedMMPerS[0]), RetractMM: h.RetractMM,
		RetractMMPerS: math.Min(h.RetractMMPerS, strokes), RestartMMPerS: math.Min(h.RestartMMPerS, strokes), LongestMM: h.LongestMM, MostMM3PerS: h.MostMM3PerS,
		Tube: l.Setup.Drive == "bowden", Firmware: m.Firmware}
	return s
}

func hundredths(x float64) float64 { return math.Round(x*100) / 100 }
