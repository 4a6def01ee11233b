// Package gauge says how well a length was measured: the instrument, the rows its uncertainty is made of, and what
// repeating the measurement would change about it.
//
// Owns: instruments with their limits, the ways a fed length is measured, uncertainty budgets as rows, expanded
// uncertainties, and forecasts of them.
// Guarantees: every row states its own distribution, and the combination is the root of the squares (JCGM 100:2008,
// 5.1.2) times a coverage factor of 2, or of Student's t where passes scatter and are few (G.4.1). The tests draw from the
// rows and count how often the interval holds: about as often as stated, also where passes scatter beyond reading and are
// three or more. Two such passes hold about 90 %: by chance they may agree, and then nothing shows that they scatter; a
// single one shows nothing at all.
// Does not do: I/O, keep time, decide what a measurement means; a routine does that.
// Read next: fed.go (Work), way.go (the rows of each way to measure), budget.go (Row, Budget), freedom.go (the coverage
// factor).
package gauge

import (
	"fmt"
	"math"
	"strconv"
)

// An Instrument is what a length is read with. It is chosen once for a whole check.
type Instrument struct {
	Name       string  // as the API calls it: "half_mm_rule"
	Label      string  // as a person calls it
	DivisionMM float64 // smallest division of its scale, or the last digit's step
	LongestMM  float64 // the longest there is of it that keeps its limits
	Class      string  // of a rule: one of the Class constants

	limitMM         float64 // permissible error at length 0
	limitPerMetreMM float64 // and for each started metre
	farLimitMM      float64 // permissible error beyond farFromMM; 0: as before it
}

// The accuracy classes of rules, finest first.
const (
	ClassI   = "I"
	ClassII  = "II"
	ClassIII = "III"
)

// OwnName is what an instrument is called whose division and limit the person states.
const OwnName = "own"

// farFromMM is the length from which on a caliper of 0.02 or 0.01 mm is allowed more (DIN 862 as below).
const farFromMM = 100

// Instruments lists what a length can be read with, coarsest first.
//
// A rule is held to class II where nobody says otherwise, see OfClass. Calipers are held to DIN 862 as tabulated by a
// supplier (values read second-hand): up to 300 mm 0.05 mm with a vernier of 0.05 mm, and with 0.02 or 0.01 mm 0.02 mm
// up to 100 and 0.03 mm beyond; no longer ones are taken. Rules end at 2 m because nobody lays filament straight along
// more (common practice, no source).
func Instruments() []Instrument {
	return []Instrument{
		{Name: "mm_rule", Label: "rule, 1 mm divisions", DivisionMM: 1, LongestMM: 2000, Class: ClassII, limitMM: 0.3, limitPerMetreMM: 0.2},
		{Name: "half_mm_rule", Label: "rule, 0.5 mm divisions", DivisionMM: 0.5, LongestMM: 2000, Class: ClassII, limitMM: 0.3, limitPerMetreMM: 0.2},
		{Name: "vernier_caliper", Label: "caliper, 0.05 mm", DivisionMM: 0.05, LongestMM: 300, limitMM: 0.05},
		{Name: "caliper", Label: "caliper, 0.02 mm", DivisionMM: 0.02, LongestMM: 300, limitMM: 0.02, farLimitMM: 0.03},
		{Name: "digital_caliper", Label: "caliper, 0.01 mm", DivisionMM: 0.01, LongestMM: 300, limitMM: 0.02, farLimitMM: 0.03},
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

// Own is an instrument by what its owner states: its smallest division and the most its scale may be off over the lengths
// it is used for, both in mm.
func Own(divisionMM, limitMM float64) Instrument {
	label := fmt.Sprintf("gauge of your own, %s mm, off by %s mm at most", short(divisionMM), short(limitMM))
	return Instrument{Name: OwnName, Label: label, DivisionMM: divisionMM, LongestMM: 2000, limitMM: limitMM}
}

func short(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

// OfClass is the same rule held to an accuracy class of OIML R 35-1, as Directive 2014/32/EU Annex X (MI-008), Table 1
// has it: a + b for each started metre. What the class allows at the rule's own end besides (0.2 mm in class II) is the
// same in both readings of a check and cancels in what went in. false for what is no rule, or no class.
func (i Instrument) OfClass(class string) (Instrument, bool) {
	if i.Class == "" {
		return i, false
	}
	switch class {
	case ClassI:
		i.limitMM, i.limitPerMetreMM = 0.1, 0.1
	case ClassII:
		i.limitMM, i.limitPerMetreMM = 0.3, 0.2
	case ClassIII:
		i.limitMM, i.limitPerMetreMM = 0.6, 0.4
	default:
		return i, false
	}
	i.Class = class
	return i, true
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
	if i.farLimitMM > 0 && lengthMM > farFromMM {
		return i.farLimitMM
	}
	return i.limitMM + i.limitPerMetreMM*math.Max(1, math.Ceil(lengthMM/1000))
}
