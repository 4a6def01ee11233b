package gauge

import "math"

// A Way is how it is found out how much filament was fed.
type Way string

// The ways to measure a fed length.
const (
	Inlet          Way = "inlet"           // distance of a mark from the inlet before, less what is left of it after
	TwoFlags       Way = "two_flags"       // distance of two flags, and near flag to inlet before less far flag to inlet after
	SeveralLengths Way = "several_lengths" // several blocks against one mark, and the slope of a line through them
	CutPiece       Way = "cut_piece"       // what comes out of an open end, cut flush with it before and after
)

// What a hand adds to a reading. Common practice, no source; each is a half width, in mm.
const (
	penLineMM = 0.3  // half the width of a pen line round the filament, and how well its middle is set
	seatMM    = 0.15 // how much differently the rule is put against the inlet before and after
	edgeMM    = 0.1  // how well an edge of a flag, or one and the same pen line, is met again
	cutMM     = 0.2  // how far off flush a cut at an open end is
)

// How much a filament may bow and still look straight, as a part of its length. Common practice, no source.
const (
	straightBow = 1.0 / 40  // beside a rule, hanging at the inlet: 3 mm over 120
	pulledBow   = 1.0 / 100 // laid down and pulled straight along a rule, or a short piece held to a caliper
)

// shortMM is about how far from the inlet a flag is read. Common practice, no source.
const shortMM = 30

// CurlMM is the most that bent filament adds between an inlet and a mark lengthMM away, mm. An arc with the sagitta s
// over the chord L is longer than it by 8s²/3L (to the second order of s/L). Mark and leftover both read short by it and
// the two oppose each other in what went in, so it is taken as ± of the longer one.
func CurlMM(lengthMM float64) float64 { return bowMM(lengthMM, straightBow) }

func bowMM(lengthMM, bow float64) float64 {
	sagitta := bow * lengthMM
	return 8 * sagitta * sagitta / (3 * lengthMM)
}

// perPass are the rows that each pass draws anew.
func (w Work) perPass(factor float64) []Row {
	reading := w.Gauge.ReadingMM()
	switch w.Way {
	case TwoFlags:
		return []Row{
			typeB("distance of the flags, reading", reading, factor),
			typeB("near flag, reading", reading, factor),
			typeB("far flag, reading", reading, factor),
			typeB("edges of the flags", edgeMM, factor),
		}
	case CutPiece:
		return []Row{
			typeB("piece, reading", reading, factor),
			typeB("first cut", cutMM, factor),
			typeB("second cut", cutMM, factor),
		}
	case SeveralLengths:
		return w.Line.rows(w.Gauge, factor)
	}
	return []Row{
		typeB("mark, reading", reading, factor),
		typeB("leftover, reading", reading, factor),
		typeB("pen line", penLineMM, factor),
	}
}

// common are the rows that are the same in every pass of one check.
func (w Work) common() []Row {
	rows := []Row{typeB("limit of the instrument", w.Gauge.LimitMM(w.MarkMM), 1)}
	switch w.Way {
	case TwoFlags:
		rows = append(rows, typeB("curl between the flags", bowMM(w.MarkMM, pulledBow), 1),
			typeB("curl up to a flag", CurlMM(shortMM), 1), typeB("seat at the inlet", seatMM, 1))
	case CutPiece:
		rows = append(rows, typeB("curl of the piece", bowMM(w.MarkMM, pulledBow), 1))
	case SeveralLengths:
		rows = append(rows, typeB("curl of the filament", CurlMM(w.MarkMM), 1))
	default:
		rows = append(rows, typeB("curl of the filament", CurlMM(w.MarkMM), 1), typeB("seat at the inlet", seatMM, 1))
	}
	for i := range rows {
		rows[i].Common = true
	}
	return rows
}

// A Stretch is one pass of the way SeveralLengths: equal blocks up to the whole length, each read against one mark.
type Stretch struct {
	Blocks   int
	ExcessMM float64 // standard deviation of one pass, at the whole length, that its readings' scatter about the line adds
	Freedom  float64 // degrees of freedom of ExcessMM
}

// BlockU is the standard uncertainty of one of the readings that a line is drawn through, mm. Where the mark itself was set
// is the same in all of them and ends in the line's intercept, and so does the rule's own end.
func BlockU(g Instrument) float64 {
	return Combine(Rectangular(g.ReadingMM()), Rectangular(edgeMM), Rectangular(seatMM))
}

// rows carry a reading's uncertainty through the slope to the whole length: over n equal blocks the slope times the whole
// has √(12n/(n²-1)) of it (least squares, JCGM 100:2008, H.3.2).
func (s Stretch) rows(g Instrument, factor float64) []Row {
	n := math.Max(3, float64(s.Blocks))
	through := math.Sqrt(12 * n / (n*n - 1))
	rows := []Row{normalB("readings, through the line", BlockU(g)*through, factor)}
	if s.ExcessMM > 0 {
		rows = append(rows, Row{Name: "scatter about the line", Type: "A", Distribution: DistNormal, Limit: s.ExcessMM,
			LimitUnit: "mm", U: s.ExcessMM * factor, Unit: "mm", Freedom: s.Freedom})
	}
	return rows
}

func normalB(name string, sdMM, factor float64) Row {
	return Row{Name: name, Type: "B", Distribution: DistNormal, Limit: sdMM, LimitUnit: "mm", U: sdMM * factor, Unit: "mm"}
}

// Ravel is the excess of several such passes together, from the Birge ratio of each: how many times more its readings
// scatter about its line than they state, with blocks - 2 degrees of freedom each. What is beyond 1 is the excess; its own
// degrees of freedom are fewer, see repeatability.
func (s Stretch) Ravel(g Instrument, ratios []float64) Stretch {
	s.ExcessMM, s.Freedom = 0, 0
	if len(ratios) == 0 || s.Blocks < 3 {
		return s
	}
	square := 0.0
	for _, r := range ratios {
		square += r * r / float64(len(ratios))
	}
	if square <= 1 {
		return s
	}
	s.ExcessMM = s.rows(g, 1)[0].U * math.Sqrt(square-1)
	s.Freedom = float64(len(ratios)*(s.Blocks-2)) * math.Pow((square-1)/square, 2)
	return s
}
