// Package rung chooses the next rung of a retraction ladder: from the pieces that a person graded it believes an interval
// for the shortest length that suffices, and says what to print next, or what was found.
//
// Owns: the hypotheses about a machine and a rater, what a grade says about them, and where the next bands lie.
// Guarantees: no length above the ceiling; eight lengths, equal rungs, from the shortest up; the same pieces give the same
// choice, in whatever order equal prints were made; an end after at most MostPrints prints, whatever was graded.
// Does not do: print, ask, store, or know what a piece looks like. Its curves and limits are a model of our own: no
// controlled published study of strings against length was found.
// Read next: choose.go (the decision), hypotheses.go (what may be true), grade.go (what a look says), placement.go;
// figures_test.go for what it reaches on simulated machines.
package rung

// What a Next asks for, or what it found.
const (
	DoPrint      = "print"       // eight bands of eight lengths
	DoConfirm    = "confirm"     // the whole piece at one length
	DoTake       = "take"        // the confirming piece was sufficient: ValueMM is the finding
	DoNone       = "none"        // where strings are gone there are voids: no length serves
	DoDamp       = "damp"        // strings stay and no longer change: dry the filament, or 5 to 10 C cooler
	DoNotReached = "not_reached" // strings still thin out at the ceiling
	DoHotEnd     = "hot_end"     // filament was ground or the nozzle clogged: mend that first
	DoCannotTell = "cannot_tell" // MostPrints prints, and the grades still do not agree
)

const (
	Bands      = 8  // of a piece: eight tell more than five, and still fit a usual height
	MostPrints = 12 // after so many the honest finding is that the grades do not tell
)

// A Start is what is known before the first piece.
type Start struct {
	LikelyMM   float64    // the length that the physics of the path promises
	CeilingMM  float64    // never passed
	CommonMM   [2]float64 // the range of common practice, which is never excluded beforehand
	Tube       bool       // a tube between gear and hot end: plateau and cliff are to be expected
	FilamentMM float64    // diameter: a millimetre of 2.85 moves 2.65 times the melt of 1.75
}

// A Gap is one look at one gap of a band.
type Gap struct {
	MM    float64 // width of the gap; 0 where the band was graded as a whole, which is one look at its worst gap
	Grade int     // 0 clean, 1 hairs, 2 threads, 3 strings, 4 web
}

// A Band is one whole band as graded: only the gaps that the person touched.
type Band struct {
	LengthMM                         float64 // retraction length that it was printed with
	Gaps                             []Gap
	Voids, Clicking, Ground, Clogged bool
}

// A Print is one piece. A Confirming one holds a single length in all its bands.
type Print struct {
	Bands      []Band
	Confirming bool
}

// A Next is what to do now.
type Next struct {
	Do                     string    // one of the Do constants
	LengthsMM              []float64 // of the bands A to H, bottom up; eight equal ones to confirm; none for a finding
	ValueMM, LowMM, HighMM float64   // the length believed or taken, and the 90 % interval of what suffices
	PrintsLeft             float64   // expected, the confirming one among them
	Why                    string    // one sentence for a phone
}
