package piece

import (
	"fmt"
	"math"

	"fettle/serialio/gcode"
)

// A Machine is what the piece must know of its printer. Axes are X, Y, Z and E.
type Machine struct {
	BuildMM             [3]float64
	MaxFeedMMPerS       [4]float64 // of M203
	MaxAccelMMPerS2     [4]float64 // of M201
	PrintAccelMMPerS2   float64    // of M204
	TravelAccelMMPerS2  float64
	RetractAccelMMPerS2 float64
	FeedMaxMMPerS       float64 // filament at the gear, by the setup
}

// Held is everything that is the same in all bands, but for the one variable.
type Held struct {
	FilamentMM    float64 // diameter, as measured
	NozzleBoreMM  float64
	LineWidthMM   float64
	LayerMM       float64
	PrintMMPerS   float64
	FlowFactor    float64 // 1 where feed is right
	FanPercent    float64
	TravelMMPerS  float64
	RetractMM     float64
	RetractMMPerS float64
	RestartMMPerS float64
	LongestMM     float64 // the longest stroke of all pieces that are to be compared: their posts are alike; 0: of this piece
	MostMM3PerS   float64 // flow that is never passed; 0: no limit known
	Tube          bool
	Firmware      bool // the firmware retracts: G10 and G11 by M207 and M208
}

// Variable is what differs between bands.
type Variable string

// The variables of a piece. A piece has one.
const (
	Travel Variable = "travel" // speed of the crossings, mm/s
	Length Variable = "length" // of the retraction, mm
)

// A Spec is a piece as it is asked for.
type Spec struct {
	Machine  Machine
	Held     Held
	Variable Variable
	Values   []float64 // one for each band, from the bottom
	Before   []string  // the printer's own lines before a print
	After    []string  // and behind it
}

// The heights of a piece.
const (
	bandMM      = 3.0 // of a band; its first layers are not judged
	layersLeast = 6   // of a band: below it nothing is left to judge
	footMostMM  = 0.3
	footOfBore  = 0.75
	footMMPerS  = 20.0
	layerLeastS = 10.0 // a layer cools at least so long before the next (common practice, no source)
	// How often the gear may bite the same spot: ten times is common practice, no source. At the longest stroke of a ladder
	// up to fourteen are taken, since more filament in each post would take the piece over twenty minutes.
	bitesMost    = 14.0
	slowestMMS   = 4.0
	retractMost  = 12.0
	clearanceMM  = 5.0 // from the edge of the bed
	liftAtEndMM  = 20.0
	travelZMMPS  = 5.0
	footLineWide = 1.5 // of the nozzle's bore
)

// value is a held number as a band has it.
func (s Spec) value(band int) (travelMMPerS, retractMM float64) {
	travelMMPerS, retractMM = s.Held.TravelMMPerS, s.Held.RetractMM
	if s.Variable == Travel {
		return s.Values[band], retractMM
	}
	return travelMMPerS, s.Values[band]
}

// layers is how many layers a band has.
func (s Spec) layers() int { return int(math.Round(bandMM / s.Held.LayerMM)) }

// bandHighMM is how high a band really is, in whole layers.
func (s Spec) bandHighMM() float64 { return float64(s.layers()) * s.Held.LayerMM }

// footHighMM is the height of the foot, which no nozzle lays higher than it is wide.
func (s Spec) footHighMM() float64 { return math.Min(footMostMM, footOfBore*s.Held.NozzleBoreMM) }

// HighMM is how high the piece is.
func (s Spec) HighMM() float64 { return s.footHighMM() + Bands*s.bandHighMM() }

// slowly is a speed held to the flow that is never passed.
func (h Held) slowly(mmPerS, widthMM, highMM float64) float64 {
	if h.MostMM3PerS > 0 {
		return math.Min(mmPerS, h.MostMM3PerS/(widthMM*highMM))
	}
	return mmPerS
}

// FilamentOf is the filament of a bead, mm: its length times line width times layer height, over the cross-section of the
// filament as it was measured.
func (h Held) FilamentOf(lengthMM, widthMM, highMM float64) float64 {
	return lengthMM * widthMM * highMM * h.FlowFactor / (math.Pi * h.FilamentMM * h.FilamentMM / 4)
}

// check holds the numbers to each other and to the printer.
func (s Spec) check() error {
	h, m := s.Held, s.Machine
	if len(s.Values) != Bands {
		return &FitError{"the bands", fmt.Sprintf("have %d values", len(s.Values)), fmt.Sprintf("%d", Bands)}
	}
	if s.Variable != Travel && s.Variable != Length {
		return &FitError{"the variable", fmt.Sprintf("is %q", s.Variable), string(Travel) + " or " + string(Length) + ", one of them"}
	}
	rows := []struct {
		what         string
		is, low, top float64
		unit         string
	}{
		{"the filament's diameter", h.FilamentMM, 1, 3.2, "mm"},
		{"the nozzle's bore", h.NozzleBoreMM, 0.1, 2, "mm"},
		{"the line width", h.LineWidthMM, 0.8 * h.NozzleBoreMM, 2 * h.NozzleBoreMM, "mm"},
		{"the layer height", h.LayerMM, 0.1 * h.NozzleBoreMM, 0.8 * h.NozzleBoreMM, "mm"},
		{"the layers of a band", float64(s.layers()), layersLeast, 1000, "layers, by a smaller layer height"},
		{"the flow factor", h.FlowFactor, 0.5, 2, ""},
		{"the fan", h.FanPercent, 0, 100, "%"},
		{"the speed of printing", h.PrintMMPerS, slowestMMS, min(m.MaxFeedMMPerS[0], m.MaxFeedMMPerS[1]), "mm/s"},
		{"the retract speed", h.RetractMMPerS, 1, min(m.MaxFeedMMPerS[3], m.FeedMaxMMPerS), "mm/s"},
		{"the restart speed", h.RestartMMPerS, 1, min(m.MaxFeedMMPerS[3], m.FeedMaxMMPerS), "mm/s"},
		{"the filament speed while printing", h.FilamentOf(h.PrintMMPerS, h.LineWidthMM, h.LayerMM), 0, min(m.MaxFeedMMPerS[3], m.FeedMaxMMPerS), "mm/s"},
		{"the speed of printing", h.PrintMMPerS, 0, h.slowly(h.PrintMMPerS, h.LineWidthMM, h.LayerMM), "mm/s, by the flow that is never passed"},
		{"the height of the piece", s.HighMM() + liftAtEndMM, 0, m.BuildMM[2], "mm with the way up behind it"},
		{"the acceleration of printing", m.PrintAccelMMPerS2, 1, 1e6, "mm/s²"},
		{"the acceleration of travel", m.TravelAccelMMPerS2, 1, 1e6, "mm/s²"},
		{"the acceleration of a retraction", m.RetractAccelMMPerS2, 1, 1e6, "mm/s²"},
	}
	for _, r := range rows {
		if !(r.is >= r.low && r.is <= r.top*(1+1e-9)) {
			return &FitError{r.what, fmt.Sprintf("is %.4g", r.is), fmt.Sprintf("%.4g to %.4g %s", r.low, r.top, r.unit)}
		}
	}
	return s.checkBands()
}

func (s Spec) checkBands() error {
	for i := range Bands {
		travel, retract := s.value(i)
		if fastest := s.Machine.MaxFeedMMPerS[0]; !(travel >= slowestMMS && travel <= fastest*(1+1e-9)) {
			return &FitError{"the travel speed of band " + Letters[i:i+1], fmt.Sprintf("is %g", travel), fmt.Sprintf("%g to %g mm/s", slowestMMS, fastest)}
		}
		if !(retract >= 0 && retract <= retractMost) {
			return &FitError{"the retraction of band " + Letters[i:i+1], fmt.Sprintf("is %g", retract), fmt.Sprintf("0 to %g mm", retractMost)}
		}
	}
	for _, line := range append(append([]string(nil), s.Before...), s.After...) {
		if _, err := gcode.Parse(line); err != nil {
			return &FitError{"the line " + line, "cannot be read: " + err.Error(), "one G-code block"}
		}
	}
	return nil
}
