package cable

import (
	"fmt"
	"math"

	"fettle/routines"
)

// quieter and faster are what a person can try, the likeliest first. Common practice, no source.
var (
	quieter = []string{"Take a shorter, shielded cable.", "Lay it away from the motors' leads and from the mains.",
		"Try another USB port, without a hub between."}
	faster = []string{"Set a higher speed of the line, at the printer and here.", "Try another USB port, without a hub between.",
		"See whether the printer or this computer is busy with something else."}
)

func (v verdict) finding() routines.Finding {
	f := routines.Finding{Kind: v.kind, Values: v.values()}
	switch v.kind {
	case Noisy:
		f.Headline, f.Reason, f.Notes = "The cable is noisy", v.noise(), append(f.Notes, quieter...)
	case Slow:
		f.Headline, f.Reason, f.Notes = "The line is slow", v.slowness(), append(f.Notes, faster...)
	default:
		f.Headline, f.Reason = "The cable is fit", v.fitness()
	}
	for _, said := range v.Remarks {
		f.Notes = append(f.Notes, fmt.Sprintf("The printer said: %q.", said))
	}
	return f
}

func (v verdict) values() []routines.Value {
	return []routines.Value{
		{Name: "lines", Unit: "1", Value: float64(v.Lines)},
		{Name: "lines_per_s", Unit: "1/s", Value: v.linesPerS},
		{Name: "slowest_ms", Unit: "ms", Value: round(v.SlowestMS, 1)},
		{Name: "sent_again", Unit: "1", Value: float64(v.SentAgain)},
		{Name: "asked_after", Unit: "1", Value: float64(v.AskedAfter)},
		{Name: "garbled", Unit: "1", Value: float64(v.Garbled)},
	}
}

func (v verdict) noise() string {
	switch {
	case v.GaveUp != "":
		return fmt.Sprintf("The line gave up after %d of %d lines: too much was damaged, or the printer fell silent.", v.Lines, v.OfLines)
	case v.tooOften():
		return fmt.Sprintf("%s: about %.0f a minute, and the line gives up at %d.", v.damage(), v.againPerMin, 4*mostAgain)
	case v.deaf():
		return v.damage() + ": too many to go by what the printer says."
	}
	return fmt.Sprintf("%s: of pieces of more than about %s, more than one in a hundred holds a wrong line that nobody noticed.", v.damage(), roughly(v.goodForLines))
}

func (v verdict) slowness() string {
	if v.linesPerS < linesPerS {
		return fmt.Sprintf("It takes %.3g lines a second; a curve of short lines needs %d.", v.linesPerS, linesPerS)
	}
	return fmt.Sprintf("An answer took %.1f s, and the head would stand still for it.", v.SlowestMS/1000)
}

func (v verdict) fitness() string {
	if v.SentAgain+v.Garbled == 0 {
		return fmt.Sprintf("All %d lines arrived whole, %.0f a second.", v.Lines, v.linesPerS)
	}
	return fmt.Sprintf("%s, and all arrived in the end: good for pieces of up to about %s.", v.damage(), roughly(v.goodForLines))
}

// damage is what was noticed, in words.
func (v verdict) damage() string {
	again := fmt.Sprintf("%d of %d lines had to be sent again", v.SentAgain, v.Lines)
	if v.Garbled == 0 {
		return again
	}
	return fmt.Sprintf("%s and %d answers could not be read", again, v.Garbled)
}

// roughly is a number of lines with its leading digit: more of it would claim too much.
func roughly(lines float64) string {
	if lines < 1 {
		return "no line at all"
	}
	p := math.Pow10(int(math.Log10(lines)))
	return fmt.Sprintf("%.0f lines", math.Floor(lines/p)*p)
}
