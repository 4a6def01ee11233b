package cable

import (
	"math"

	"fettle/serialio/gcode"
)

// harmless is a program of so many lines that move and heat nothing: each says how fast the next move would be, and none
// comes. With number and checksum they are some 34 bytes long, as the lines of a piece are (common practice, no source).
func harmless(lines int) gcode.Program {
	return gcode.Program{Steps: func(yield func(gcode.Step) bool) {
		words := []gcode.Word{{Letter: 'G', Value: 1}, {Letter: 'F'}}
		for i := range lines {
			words[1].Value = speed(i, lines)
			if !yield(gcode.Step{Block: gcode.Block{Words: words}}) {
				return
			}
		}
	}}
}

// speed is the speed that line i says, mm/min: 10 to 100 mm/s, all different and with all their decimals, so that every
// digit stands in every place. The last is a plain one, which is left behind.
func speed(i, lines int) float64 {
	const golden = 0.6180339887498949 // (√5 - 1) / 2: its multiples never meet again modulo 1
	if i == lines-1 {
		return 1500
	}
	_, part := math.Modf(float64(i+1) * golden)
	return 600 + 5400*part
}
