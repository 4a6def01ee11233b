// Package gauge says how well a length was measured: the instrument, the rows its uncertainty is made of, and what
// repeating the measurement would change about it.
//
// Owns: instruments with their limits, uncertainty budgets as rows, expanded uncertainties, and forecasts of them.
// Guarantees: every row states its own distribution, and the combination is the root of the squares (JCGM 100:2008,
// 5.1.2) times a coverage factor of 2, or of Student's t where passes scatter and are few (G.4.1). The tests draw from the
// rows and count how often the interval holds: about as often as stated, also where passes scatter beyond reading and are
// three or more. Two such passes hold about 90 %: by chance they may agree, and then nothing shows that they scatter; a
// single one shows nothing at all.
// Does not do: I/O, keep time, decide what a measurement means; a routine does that.
// Read next: fed.go (Work, the rows of a feed measurement), budget.go (Row, Budget), freedom.go (the coverage factor).
package gauge

import "math"

// An Instrument is what a length is read with. It is chosen once for a whole check.
type Instrument struct {
	Name       string  // as the API calls it: "half_mm_rule"
	Label      string  // as a person calls it
	DivisionMM float64 // smallest division of its scale, or the last digit's step
	LongestMM  float64 // the longest there is of it that keeps its limits

	limitMM         float64 // permissible error at length 0
	limitPerMetreMM float64 // and for each started metre
}

// Instruments lists what a length can be read with, coarsest first.
//
// A rule is held to class II of OIML R 35-1 (as Directive 2014/32/EU Annex X MI-008, Table 1): 0.3 mm + 0.2 mm for each
// started metre. A caliper of 0.02 mm is held to 0.03 mm up to 300 mm (DIN 862 as tabulated by a supplier; a value read
// second-hand), so no longer one is taken. Rules end at 2 m because nobody lays filament straight along more (common
// practice, no source).
func Instruments() []Instrument {
	return []Instrument{
		{Name: "mm_rule", Label: "rule, 1 mm divisions", DivisionMM: 1, LongestMM: 2000, limitMM: 0.3, limitPerMetreMM: 0.2},
		{Name: "half_mm_rule", Label: "rule, 0.5 mm divisions", DivisionMM: 0.5, LongestMM: 2000, limitMM: 0.3, limitPerMetreMM: 0.2},
		{Name: "caliper", Label: "caliper, 0.02 mm", DivisionMM: 0.02, LongestMM: 300, limitMM: 0.03},
	}
}

// Named finds an instrument by its name.
func Named(name string) (Instrument, bool) {
	for _, i := range Instruments() {
		if i.Name == name {
			return i, true
		}
	}
	return Instrument{}, false
}

// Finer lists the instruments with smaller divisions than i, coarsest first.
func (i Instrument) Finer() []Instrument {
	var out []Instrument
	for _, other := range Instruments() {
		if other.DivisionMM < i.DivisionMM {
			out = append(out, other)
		}
	}
	return out
}

// ReadingMM is the most one reading is off, mm: half a division, with every value within it as likely as any other
// (JCGM 100:2008, 4.3.7).
func (i Instrument) ReadingMM() float64 { return i.DivisionMM / 2 }

// LimitMM is the most the instrument's own scale may be off over a length in mm. The length is rounded up to whole
// metres, as the directive has it.
func (i Instrument) LimitMM(lengthMM float64) float64 {
	return i.limitMM + i.limitPerMetreMM*math.Max(1, math.Ceil(lengthMM/1000))
}
