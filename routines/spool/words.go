package spool

import (
	"math"
	"slices"
	"strconv"

	"fettle/routines/gauge"
)

// tidy drops the noise that binary fractions leave far below what any gauge can tell.
func tidy(x float64) float64 { return math.Round(x*1e6) / 1e6 }

// number prints a length in mm with at most three decimals, and none that say nothing.
func number(mm float64) string { return strconv.FormatFloat(math.Round(mm*1000)/1000, 'f', -1, 64) }

// unit is number with its unit, which never breaks from it.
func unit(mm float64) string { return number(mm) + "\u00a0mm" }

// asSure prints a length to the last digit of its expanded uncertainty: what lies below it says nothing (JCGM 100:2008,
// 7.2.6).
func asSure(mm, u95MM float64) string { return strconv.FormatFloat(mm, 'f', gauge.Decimals(u95MM), 64) }

// measured prints a length with its expanded uncertainty, that with its two leading digits (the same place).
func measured(mm, u95MM float64) string {
	return asSure(mm, u95MM) + "\u00a0±\u00a0" + asSure(u95MM, u95MM) + "\u00a0mm"
}

// without are the readings but for the nth, counted from 1.
func without(readMM []float64, n int) []float64 {
	return slices.Delete(slices.Clone(readMM), n-1, n)
}
