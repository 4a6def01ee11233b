package spool

import (
	"fmt"
	"math"

	"fettle/routines"
	"fettle/routines/gauge"
)

// shown are the numbers that the figure of a reading is drawn from.
type shown struct {
	Reading   int       `json:"reading"`
	Readings  int       `json:"readings"`
	Place     int       `json:"place"`
	Places    int       `json:"places"`
	Square    bool      `json:"square"`   // to the reading before, at the same place
	AlongMM   float64   `json:"along_mm"` // how far this place is from the first
	ReadMM    []float64 `json:"read_mm"`
	NominalMM float64   `json:"nominal_mm"`
	Gauge     string    `json:"gauge"`
	Again     bool      `json:"again,omitempty"`
	FirstMM   float64   `json:"first_mm,omitempty"`
	Slip      int       `json:"slip,omitempty"` // the reading before, where it was not to be expected
}

// overMM is how much filament the places lie along. Common practice, no source.
const overMM = 2000

// What a caliper may be asked to read, as parts of the diameter that is fitted: beyond that it is no filament, and within it
// filament of the other usual size can be typed and is found out.
const (
	leastAcross = 0.5
	mostAcross  = 1.8
)

// askAcross asks for the next reading.
func (s *spool) askAcross(n int) routines.Question {
	q := s.question(n)
	q.Name, q.Reason = fmt.Sprintf("reading %d", n), s.reason(n)
	if s.slipped() {
		q.Warning = append(q.Warning, fmt.Sprintf("Reading %d was %s, which was not to be expected. If it slipped, take it back.", n-1, unit(s.readMM[n-2])))
	}
	return q
}

// askAgain asks once more for a reading that is far from all others.
func (s *spool) askAgain(n int) routines.Question {
	q := s.question(n)
	q.Name = fmt.Sprintf("reading %d, again", n)
	q.Reason = fmt.Sprintf("It was %s, far from all others. Both stay on record; the second counts.", unit(s.readMM[n-1]))
	return q
}

func (s *spool) question(n int) routines.Question {
	nominal, seen := s.Setup.FilamentDiameterMM, s.shown(n)
	before := s.readMM
	if seen.Again {
		before = without(s.readMM, n)
	}
	q := routines.Question{Figure: "across", Text: seen.text(),
		Fields: []routines.Field{{Name: "across_mm", Label: "Across the filament", Kind: routines.Number, Unit: "mm",
			Min: routines.Limit(tidy(leastAcross * nominal)), Max: routines.Limit(tidy(mostAcross * nominal)), Step: s.gauge.DivisionMM,
			OutOf: fmt.Sprintf("no filament for this printer is so far from %s: read it in millimetres, with the jaws on the filament alone", unit(nominal))}},
		Derived: &routines.Derived{Name: "wide_mm", Unit: "mm", B: 1, U95: tidy(s.oneU95MM()), Unlikely: s.likely(before)},
		Shown:   seen}
	if s.Material.Flexible {
		q.Warning = []string{"Soft filament gives way and reads thin: let the jaws only just touch it."}
	}
	return q
}

// oneU95MM is the expanded uncertainty of one reading: that of reading it, and what the instrument may be off.
func (s *spool) oneU95MM() float64 {
	return gauge.CoverageFactor * gauge.Combine(gauge.Rectangular(s.gauge.ReadingMM()), gauge.Rectangular(s.gauge.LimitMM(s.Setup.FilamentDiameterMM)))
}

func (s *spool) shown(n int) shown {
	out := shown{Reading: n, Readings: int(s.in.Readings), Place: (n + 1) / 2, Places: int(s.in.Readings) / 2, Square: n%2 == 0,
		ReadMM: append([]float64{}, s.readMM...), NominalMM: s.Setup.FilamentDiameterMM, Gauge: s.gauge.Name}
	out.AlongMM = math.Round(overMM * float64(out.Place-1) / float64(out.Places-1))
	if n <= len(s.readMM) {
		out.Again, out.FirstMM = true, s.readMM[n-1]
	} else if s.slipped() {
		out.Slip = n - 1
	}
	return out
}

func (s shown) text() string {
	again, turn, ask := "", "", "how wide is it?"
	if s.Again {
		again = ", again"
	}
	if s.Square {
		turn, ask = ", a quarter turn on", "how wide?"
	}
	return fmt.Sprintf("Place %d of %d%s%s: %s", s.Place, s.Places, again, turn, ask)
}

// reason says how a caliper is held, and where. Common practice, no source.
func (s *spool) reason(n int) string {
	switch {
	case n == 1:
		return "Wipe the jaws, close them and set them to zero; then let their flat parts just touch, square across the filament."
	case n%2 == 0:
		return "No filament is quite round: at each place the two readings lie square to each other."
	}
	apart := overMM / (s.in.Readings/2 - 1) / 10
	return fmt.Sprintf("Go about %.0f\u00a0cm on, to where no gear has bitten it.", apart)
}
