package gauge

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// A Diameter is what readings across a filament come to.
type Diameter struct {
	MeanMM float64 // of the places
	SDMM   float64 // experimental standard deviation of one place from the next; 0 for fewer than two
	U95MM  float64 // expanded uncertainty of the mean; one place alone does not show how the others scatter
	OvalMM float64 // how much wider it is one way than across, beyond what reading explains
	LowMM  float64 // the thinnest place
	HighMM float64
	Places int
	Budget Budget // what U95MM is made of, mm
}

// DiameterOf is the diameter of a filament read with g at several places, at each of them one way and then square to it:
// ten readings are five places along 2 m (common practice, no source). The last of an odd number is a place read one way.
//
// Two readings square to each other have the same mean whichever way an oval filament happens to lie, as long as it is
// nearly round; that is why both are taken. Their difference is the ovality only where it lies along them, and less
// elsewhere, so OvalMM is a lower bound. Scatter counts as far as reading does not explain it already (JCGM 100:2008, 4.3.10);
// the instrument's own limit is the same in every reading and never shrinks. No readings give a zero Diameter.
func DiameterOf(readingsMM []float64, g Instrument) Diameter {
	places, apart := placesOf(readingsMM)
	if len(places) == 0 {
		return Diameter{}
	}
	d := Diameter{MeanMM: stat.Mean(places, nil), LowMM: slices.Min(places), HighMM: slices.Max(places), Places: len(places)}
	if len(places) > 1 {
		d.SDMM = stat.StdDev(places, nil)
	}
	reading := Rectangular(g.ReadingMM())
	d.OvalMM = excessOf(rootMeanSquare(apart), math.Sqrt2*reading)
	d.Budget = budgetOf([]Row{
		readingOf(readingsMM, g),
		common(typeB("limit of the instrument", g.LimitMM(d.MeanMM), 1)),
		scatterOfPlaces(d.SDMM, reading/math.Sqrt2, len(places)),
	})
	d.U95MM = d.Budget.U95
	return d
}

// ditheredFrom is the standard deviation of readings, in divisions, from which on rounding averages out: what they truly differ
// by is then 0.28 divisions and more, and the mean of normal values so rounded is off by 0.07 of one at most, as
// exp(-2π²σ²)/π (textbook, from memory).
const ditheredFrom = 0.4

// readingOf is the row of what readings are rounded by. It averages out only where they differ by enough to be rounded up as well
// as down. Readings that are all but alike are rounded the same way each time, and their resolution stays, however many there
// are (JCGM 100:2008, F.2.2.1).
func readingOf(readingsMM []float64, g Instrument) Row {
	if n := float64(len(readingsMM)); n > 1 && stat.StdDev(readingsMM, nil) >= ditheredFrom*g.DivisionMM {
		return typeB("reading", g.ReadingMM(), 1/math.Sqrt(n))
	}
	return common(typeB("reading", g.ReadingMM(), 1))
}

// placesOf is the mean of the readings at each place, and how far the two lie apart.
func placesOf(readingsMM []float64) (means, apart []float64) {
	for i := 0; i+1 < len(readingsMM); i += 2 {
		one, across := readingsMM[i], readingsMM[i+1]
		means = append(means, (one+across)/2)
		apart = append(apart, one-across)
	}
	if n := len(readingsMM); n%2 == 1 {
		means = append(means, readingsMM[n-1])
	}
	return means, apart
}

// scatterOfPlaces is the row of type A: what the places scatter beyond known, with the degrees of freedom of that remainder
// (JCGM 100:2008, G.4.2).
func scatterOfPlaces(sdMM, knownMM float64, places int) Row {
	excess := excessOf(sdMM, knownMM)
	r := Row{Name: "scatter of the places", Type: "A", Distribution: DistNormal, Limit: excess, LimitUnit: "mm",
		U: excess / math.Sqrt(float64(places)), Unit: "mm"}
	if excess > 0 {
		r.Freedom = float64(places-1) * math.Pow(excess/sdMM, 4)
	}
	return r
}

func common(r Row) Row {
	r.Common = true
	return r
}

// excessOf is what of a standard deviation a known part of it does not explain.
func excessOf(sd, known float64) float64 { return math.Sqrt(math.Max(0, sd*sd-known*known)) }

func rootMeanSquare(values []float64) float64 {
	if len(values) == 0 {
		return 0
	}
	sum := 0.0
	for _, v := range values {
		sum += v * v
	}
	return math.Sqrt(sum / float64(len(values)))
}
