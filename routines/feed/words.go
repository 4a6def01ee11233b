package feed

import (
	"math"
	"strconv"

	"fettle/routines/gauge"
)

// round keeps two decimals, as lengths are shown.
func round(x float64) float64 { return math.Round(x*100) / 100 }

// tidy drops the noise that binary fractions leave far below what any gauge can tell, so that records read well and are
// the same on every processor.
func tidy(x float64) float64 { return math.Round(x*1e6) / 1e6 }

// number prints x with at most two decimals and none that say nothing.
func number(x float64) string { return strconv.FormatFloat(round(x), 'f', -1, 64) }

// unit prints x with its unit, which never breaks from it: a no-break space stands between.
func unit(x float64, of string) string { return number(x) + "\u00a0" + of }

// steps prints steps/mm as a printer reports it.
func steps(x float64) string { return strconv.FormatFloat(x, 'f', 2, 64) }

// plusMinus prints an expanded uncertainty with its two leading digits (JCGM 100:2008, 7.2.6).
func plusMinus(u float64, of string) string {
	return "±\u00a0" + strconv.FormatFloat(u, 'f', gauge.Decimals(u), 64) + "\u00a0" + of
}

// asSureAs prints x to the last digit of its expanded uncertainty u: what lies below it says nothing (JCGM 100:2008, 7.2.6).
func asSureAs(x, u float64) string { return strconv.FormatFloat(x, 'f', gauge.Decimals(u), 64) }

// unitAsSure is asSureAs with millimetres.
func unitAsSure(mm, u float64) string { return asSureAs(mm, u) + "\u00a0mm" }

// count names a small number of passes.
func count(n int) string {
	if n == 1 {
		return "one pass"
	}
	return strconv.Itoa(n) + " passes"
}
