package machine

import (
	"fmt"
	"math"
	"time"

	"fettle/serialio/gcode"
)

// A track follows a program word by word: where the head stands, in which modes numbers are read, and how fast the next
// move is. It is pure, so that a whole program can be judged before its first byte leaves, and each line once more right
// before it does.
type track struct {
	limits    Limits
	atMM      [3]float64 // NaN: it may stand anywhere in the build volume
	eMM       float64
	mmPerMin  float64 // 0: no move has said yet
	modes     modes
	overruled bool // whether E is relative where the firmware lets G90 and G91 overrule that
	text      []byte
}

// newTrack is where a stream begins: in millimetres, absolute, E at 0, the head nobody knows where.
func newTrack(l Limits) track {
	anywhere := math.NaN()
	return track{limits: l, atMM: [3]float64{anywhere, anywhere, anywhere}, text: make([]byte, 0, 2*maxBlockBytes)}
}

// next holds the next block to the list and the limits, follows it, and prints it; the text is good until the next one. It
// says how long the printer takes with it at least, 0 for what is no move. Errors: *RefusedError.
func (t *track) next(b gcode.Block) (c command, text []byte, lasts time.Duration, err error) {
	if c, err = commandOf(b); err != nil {
		return c, nil, 0, err
	}
	if t.text = b.Append(t.text[:0]); len(t.text) > maxBlockBytes {
		return c, nil, 0, tooLong(c.name, len(t.text))
	}
	seconds, err := t.follow(c, b)
	return c, t.text, time.Duration(seconds * float64(time.Second)), err
}

func (t *track) follow(c command, b gcode.Block) (lastsS float64, err error) {
	celsius, _ := b.Value('S')
	switch c.name {
	case "G0", "G1":
		return t.move(c.name, b)
	case "G28":
		t.home(b)
	case "G29":
		t.atMM[0], t.atMM[1] = math.NaN(), math.NaN()
	case "G90", "G91":
		t.modes.axesRelative, t.overruled = c.name == "G91", c.name == "G91"
	case "M82", "M83":
		t.modes.feedRelative, t.overruled = c.name == "M83", c.name == "M83"
	case "G92":
		t.eMM, _ = b.Value('E')
	case "M104":
		return 0, t.limits.nozzle(c.name, celsius)
	case "M140":
		return 0, t.limits.bed(c.name, celsius)
	case "M207", "M208":
		return 0, t.retraction(c.name, b)
	}
	return 0, nil
}

// home takes the axes that are homed to stand at 0, as they do on most printers (common practice, no source); probing ends
// near the bed. A stream asks the printer itself behind both.
func (t *track) home(b gcode.Block) {
	for i, axis := range "XYZ" {
		if len(b.Words) == 1 || has(b, byte(axis)) {
			t.atMM[i] = 0
		}
	}
}

func has(b gcode.Block, letter byte) bool {
	for _, w := range b.Words[1:] {
		if w.Letter == letter {
			return true
		}
	}
	return false
}

// stands takes over where the printer itself says it is.
func (t *track) stands(p place) {
	if p.known {
		t.atMM = [3]float64{p.X, p.Y, p.Z}
	}
}

// retraction holds the speed of the firmware's own retraction to that of filament.
func (t *track) retraction(word string, b gcode.Block) error {
	if mmPerMin, ok := b.Value('F'); ok {
		return t.limits.feed(word, mmPerMin/60)
	}
	return nil
}

// move holds a move to the build volume, the filament speed and the longest time.
func (t *track) move(word string, b gcode.Block) (lastsS float64, err error) {
	if f, ok := b.Value('F'); ok {
		t.mmPerMin = f
	}
	wayMM, err := t.way(word, b)
	if err != nil {
		return 0, err
	}
	feedMM, err := t.feed(word, b)
	if err != nil || (wayMM == 0 && feedMM == 0) {
		return 0, err
	}
	if t.mmPerMin == 0 {
		return 0, &RefusedError{word, "what speed holds now is not known", "F, in mm/min, in this move or one before"}
	}
	lastsS = wayMM / (t.mmPerMin / 60)
	if wayMM == 0 {
		lastsS = feedMM / (t.mmPerMin / 60)
	}
	if feedMM > 0 {
		if err := t.limits.feed(word, feedMM/lastsS); err != nil {
			return 0, err
		}
	}
	return lastsS, shortEnough(word, lastsS)
}

// feed is how much filament a move pushes or pulls, mm, whichever way.
func (t *track) feed(word string, b gcode.Block) (float64, error) {
	e, ok := b.Value('E')
	switch {
	case !ok:
		return 0, nil
	case t.overruled != t.modes.feedRelative:
		return 0, &RefusedError{word, "some firmware lets G90 and G91 overrule how E is read, and some does not", "M82 or M83 behind them"}
	case t.modes.feedRelative:
		t.eMM += e
		return math.Abs(e), nil
	}
	from := t.eMM
	t.eMM = e
	return math.Abs(e - from), nil
}

// way is the length of the way of the axes, mm, and where the head may stand anywhere the longest there is.
func (t *track) way(word string, b gcode.Block) (float64, error) {
	sum := 0.0
	for i, axis := range "XYZ" {
		goal, ok := b.Value(byte(axis))
		if !ok {
			continue
		}
		mm, err := t.axis(word, i, goal)
		if err != nil {
			return 0, err
		}
		sum += mm * mm
	}
	return math.Sqrt(sum), nil
}

func (t *track) axis(word string, i int, goal float64) (wayMM float64, err error) {
	from, sizeMM := t.atMM[i], t.limits.BuildMM[i]
	switch {
	case !(sizeMM > 0):
		return 0, &RefusedError{word, "no setup says how large the printer is", "a setup first"}
	case t.modes.axesRelative && math.IsNaN(from):
		return 0, &RefusedError{word, fmt.Sprintf("where %c stands is not known", "XYZ"[i]), "G28 or an absolute move first"}
	case t.modes.axesRelative:
		goal += from
	}
	if !(goal >= 0 && goal <= sizeMM) {
		return 0, &RefusedError{word, fmt.Sprintf("%c would go to %g mm, outside the build volume", "XYZ"[i], goal), within(t.limits)}
	}
	t.atMM[i] = goal
	if math.IsNaN(from) {
		return math.Max(goal, sizeMM-goal), nil
	}
	return math.Abs(goal - from), nil
}
