package machine

import (
	"fmt"
	"math"

	"fettle/serialio/gcode"
)

// Limits is what a printer may be asked for, as its setup says. Zero means that nobody has said so yet: refused.
type Limits struct {
	NozzleMaxC, BedMaxC float64
	FeedMaxMMPerS       float64 // of filament, at the gear
	BuildMM             [3]float64
}

// What is refused whatever the setup says: no filament printer of the trade goes there (common practice, no source).
const (
	hardNozzleMaxC    = 500
	hardBedMaxC       = 200
	hardFeedMaxMMPerS = 200
)

// A RefusedLine is a line of a program that is not sent. It is counted from 1.
type RefusedLine struct {
	Line int
	*RefusedError
}

func (e *RefusedLine) Error() string { return fmt.Sprintf("line %d: %v", e.Line, e.RefusedError) }

func (e *RefusedLine) Unwrap() error { return e.RefusedError }

// A RefusedError is a word that was not sent, why, and what would be accepted.
type RefusedError struct {
	Word   string // "M109"
	Why    string
	Accept string
}

func (e *RefusedError) Error() string {
	return fmt.Sprintf("%s was not sent: %s; accepted: %s", e.Word, e.Why, e.Accept)
}

// Limit sets the limits for what is asked from now on. A verb that is under way keeps those it began with,
// and the last look before the wire takes the newest.
func (m *Machine) Limit(l Limits) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.limits = l
}

func (m *Machine) held() Limits {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.limits
}

// nozzle holds a nozzle target to the limits, °C. Switching off is always allowed.
func (l Limits) nozzle(word string, celsius float64) error {
	return heatWithin(word, "nozzle", celsius, math.Min(l.NozzleMaxC, hardNozzleMaxC))
}

// bed holds a bed target to the limits, °C.
func (l Limits) bed(word string, celsius float64) error {
	return heatWithin(word, "bed", celsius, math.Min(l.BedMaxC, hardBedMaxC))
}

func heatWithin(word, what string, celsius, maxC float64) error {
	switch {
	case celsius == 0 || (celsius > 0 && celsius <= maxC): // not so for NaN
		return nil
	case !(maxC > 0):
		return &RefusedError{word, "no setup says how hot the " + what + " may get", "0, or a setup first"}
	}
	return &RefusedError{word, fmt.Sprintf("%g °C is outside the limits of the %s", celsius, what), fmt.Sprintf("0 to %g °C", maxC)}
}

// filamentAlone holds a move of the filament and no axis to the limits: its F is the speed at the gear, mm/min. What speed
// a move without F has is not known, and nothing here sends one.
func (l Limits) filamentAlone(b gcode.Block) error {
	for _, axis := range "XYZ" {
		if _, moves := b.Value(byte(axis)); moves {
			return nil
		}
	}
	if _, feeds := b.Value('E'); !feeds {
		return nil
	}
	mmPerMin, ok := b.Value('F')
	if !ok {
		return &RefusedError{name(b), "what speed holds now is not known", "the same with F, in mm/min"}
	}
	return l.feed(name(b), mmPerMin/60)
}

// feed holds a filament speed to the limits, mm/s.
func (l Limits) feed(word string, speedMMPerS float64) error {
	maxMMPerS := math.Min(l.FeedMaxMMPerS, hardFeedMaxMMPerS)
	switch {
	case !(maxMMPerS > 0):
		return &RefusedError{word, "no setup says how fast filament may be fed", "a setup first"}
	case !(speedMMPerS <= maxMMPerS*(1+1e-9)): // what was printed and parsed again may differ in its last digit
		return &RefusedError{word, fmt.Sprintf("%.4g mm/s of filament is over the limit", speedMMPerS), fmt.Sprintf("at most %g mm/s", maxMMPerS)}
	}
	return nil
}
