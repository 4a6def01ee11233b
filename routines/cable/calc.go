package cable

import "math"

// What a check can find.
const (
	Fit   = "fit"
	Noisy = "noisy"
	Slow  = "slow"
)

// What a piece needs of its cable. Common practice, no source.
const (
	pieceLines   = 4000 // a piece is of thousands of lines
	wrongChance  = 0.01 // that one of them is obeyed with a wrong content that no check noticed
	linesPerS    = 50   // a curve of 1 mm lines at 50 mm/s
	slowestMS    = 1000 // longer, and the head stands still and leaves a blob
	mostAgain    = 16   // sent again a minute: a quarter of what the line allows before it gives up
	mostGarbled  = 500  // of so many answers one may be damaged, or of no known form: some boards say what they like
	mostGoodFor  = 1_000_000
	confidence95 = 0.95
)

// verdict is what was sent, and what follows from it.
type verdict struct {
	sent
	kind         string
	linesPerS    float64
	againPerMin  float64
	goodForLines float64
}

func judge(s sent) verdict {
	v := verdict{sent: s, kind: Fit}
	if seconds := s.TookS - s.PausedS; seconds > 0 {
		v.linesPerS = round(float64(s.Lines)/seconds, 1)
		v.againPerMin = float64(s.SentAgain) / seconds * 60
	}
	v.goodForLines = GoodForLines(s.Lines, s.SentAgain)
	switch {
	case s.GaveUp != "" || v.goodForLines < pieceLines || v.tooOften() || v.deaf():
		v.kind = Noisy
	case v.linesPerS < linesPerS || s.SlowestMS > slowestMS:
		v.kind = Slow
	}
	return v
}

// tooOften reports whether the line comes near the number of lines sent again at which it gives up. One or two in a
// check of seconds say nothing about a minute.
func (v verdict) tooOften() bool { return v.SentAgain > 2 && v.againPerMin > mostAgain }

// deaf reports whether too many answers could not be read.
func (v verdict) deaf() bool { return v.Garbled > 2 && v.Garbled*mostGarbled > uint64(v.Lines) }

// GoodForLines is how long a piece may be, in lines, until it is 1 % likely that one line of it was obeyed with a wrong
// content, where damaged of the lines were noticed to be, and sent again. The check of a line is an XOR of its bytes: it notices each
// flipped bit, and of two flipped bits those in different columns, which are all but (n-1)/(8n-1) < 1/8 of the pairs in n
// bytes (counted). Where a bit flips in r of the lines, two do in r²/2 of them, so r²/16 are wrong and not noticed. r is
// taken at its upper limit of 95 %. Damage in pairs of bytes, as a full buffer makes, is not in it.
func GoodForLines(lines int, damaged uint64) float64 {
	if lines == 0 {
		return 0
	}
	r := UpperLimit95(float64(damaged)) / float64(lines)
	return min(math.Floor(wrongChance*16/(r*r)), mostGoodFor)
}

// UpperLimit95 is the mean of a Poisson distribution that gives counted or fewer events with a chance of 5 %: the one-sided
// upper limit of 95 % for what was counted (Garwood 1936, from memory).
func UpperLimit95(counted float64) float64 {
	low, high := counted, 2*counted+10
	for range 60 {
		mean := (low + high) / 2
		if atMost(counted, mean) > 1-confidence95 {
			low = mean
		} else {
			high = mean
		}
	}
	return high
}

// atMost is the chance of at most so many events of a Poisson distribution.
func atMost(counted, mean float64) float64 {
	sum := 0.0
	for k := 0.0; k <= counted; k++ {
		factorial, _ := math.Lgamma(k + 1)
		sum += math.Exp(k*math.Log(mean) - mean - factorial)
	}
	return sum
}

func round(x float64, decimals int) float64 {
	p := math.Pow10(decimals)
	return math.Round(x*p) / p
}
