package gauge

import (
	"math"
	"strconv"
)

// Decimals is how many decimals a value and its expanded uncertainty u are said with: as many as show two leading digits of
// u, once it is rounded to them, so that 0.996 is 1.0 (JCGM 100:2008, 7.2.6). A u below 0.001 is taken for 0.001.
func Decimals(u float64) int {
	leading, err := strconv.ParseFloat(strconv.FormatFloat(math.Max(u, 0.001), 'e', 1, 64), 64)
	if err != nil {
		return 2
	}
	return max(0, 1-int(math.Floor(math.Log10(leading))))
}
