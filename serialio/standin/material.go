package standin

// Material is what a filament does to strings. It scales what the machine does.
type Material struct {
	Name         string
	NozzleC      float64 // at which it is printed
	Springs      float64 // times the machine's SpringMM
	Oozes        float64 // times the machine's OozeShare
	Empties      float64 // times the machine's EmptiesS
	DroolMM3PerS float64 // ends in threads whatever the pressure: zero strings is not to be had
}

// Stiff, Tough, Flexible and Hot are the four materials of the stand-in. All are inventions, no plastic that is sold.
func Stiff() Material { return Material{"invented stiff", 205, 1, 1, 1, 0.00005} }

// Tough strings more than the others and goes on oozing for longer.
func Tough() Material { return Material{"invented tough", 240, 1.25, 1.45, 1.2, 0.0004} }

// Flexible is squeezed together so far that no stroke of a direct drive below its usual ceiling serves.
func Flexible() Material { return Material{"invented flexible", 225, 3.7, 1.3, 1.3, 0.0006} }

// Hot is printed hotter than the others.
func Hot() Material { return Material{"invented hot", 255, 1.1, 1.2, 1.1, 0.0003} }

// Materials are all four.
func Materials() []Material { return []Material{Stiff(), Tough(), Flexible(), Hot()} }

// dampDroolMM3PerS is what the steam of damp filament drives out on top.
const dampDroolMM3PerS = 0.13
