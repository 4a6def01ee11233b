package machine

import (
	"math"
	"time"

	"fettle/serialio/gcode"
)

// What a bed may do, in printer time. A bed is heavy: it rises by some tenths of a degree a second, and swings little (common
// practice, no source).
const (
	bedNearC      = 3.0 // within this of its target it is there, and a piece goes on
	bedStillC     = 1.0 // and there for good when it moves by no more than this ...
	bedStillFor   = 10 * time.Second
	bedNearFor    = time.Minute // ... or however it moves, if it stays there
	bedRiseC      = 3.0
	bedRiseIn     = 4 * time.Minute
	bedSagC       = 10.0 // so far below its target a bed that was warm has to rise anew; a fan and a door take less
	bedFallC      = 1.0  // one that is to get colder does so by as much in bedRiseIn
	bedJumpC      = 5.0  // no bed changes by more than this ...
	bedJumpCPerS  = 2.0  // ... and that
	bedNoReading  = time.Minute
	bedOvershootC = 5.0 // over its limit, as a nozzle's
)

// A bedWatch judges the readings of one bed. As the nozzle's, it acts on nothing that it has seen only once. It is pure.
type bedWatch struct {
	told
	targetC float64 // 0: none of ours; only the cap is watched
	capC    float64

	begun   bool
	heard   time.Duration // when the last report came that named the bed
	unread  int           // reports since then
	last    time.Duration // when the last reading was asked for that was believed
	lastC   float64
	lowC    float64 // the lower of the last two believed: one damaged digit is no rise ...
	highC   float64 // ... and no fall
	alike   int     // readings believed, from the first on
	strange int     // readings in a row that were not

	risen     bool
	riseAt    time.Duration // since when it is to rise above riseC
	riseC     float64
	below     bool // it was once not far over its target: from above it may take its time
	over      int  // readings since overAt
	overAt    time.Duration
	overC     float64 // what it read then
	nearAt    time.Duration
	nearTimes int
	stillAt   time.Duration
	stillC    float64
	seen      gcode.Temperatures
}

// newBedWatch watches a bed that has been given the target, °C, 0 for one that has none of ours.
func newBedWatch(targetC float64, l Limits) *bedWatch {
	maxC := l.BedMaxC
	if !(maxC > 0 && maxC < hardBedMaxC) { // no setup, no limit of the maker's
		maxC = hardBedMaxC
	}
	return &bedWatch{targetC: targetC, capC: maxC + bedOvershootC}
}

// see takes the report that was asked for at asked and read at now. again says that the target did not arrive and is to be
// sent once more.
func (w *bedWatch) see(asked, now time.Duration, t gcode.Temperatures) (again bool, err error) {
	if !w.begun {
		w.begun, w.heard = true, now
	}
	if !t.HasBed || math.IsNaN(t.BedC) {
		if w.unread++; w.targetC > 0 && w.unread > 1 && now-w.heard >= bedNoReading {
			return false, w.fail(NoReading)
		}
		return false, nil
	}
	w.seen, w.heard, w.unread = t, now, 0
	if fault := w.doubt(now, t.BedC); fault != "" {
		w.nearTimes = 0
		if w.strange++; w.strange > 1 {
			return false, w.fail(fault)
		}
		return false, nil
	}
	w.believe(asked, now, t.BedC)
	if w.targetC == 0 {
		return false, nil
	}
	if fault := w.judge(now); fault != "" {
		return false, w.fail(fault)
	}
	if !t.HasTarget {
		return false, nil
	}
	again, fault := w.compare(t.BedTargetC, w.targetC)
	if fault != "" {
		return false, w.fail(fault)
	}
	return again, nil
}

// doubt says why a reading is not to be believed yet. Before there are readings that agree, one that does not begins anew.
func (w *bedWatch) doubt(now time.Duration, c float64) HeatFault {
	switch {
	case c > w.capC:
		return AboveCap
	case w.targetC == 0:
		return ""
	case c < coldestC:
		return Implausible
	case math.Abs(c-w.lastC) <= bedJumpC+bedJumpCPerS*(now-w.last).Seconds():
		return ""
	case w.alike < sureAfter:
		w.alike = 0
		return ""
	}
	return Jump
}

// believe takes a reading over.
func (w *bedWatch) believe(asked, now time.Duration, c float64) {
	w.strange = 0
	w.lowC, w.highC = min(c, w.lastC), max(c, w.lastC)
	if w.alike++; w.alike <= 2 { // the first may be damaged
		w.lowC, w.highC = c, c
		w.riseAt, w.riseC, w.overAt, w.overC, w.below, w.over = now, c, now, c, false, 0
	}
	w.last, w.lastC = asked, c
}

// judge holds what is believed against what beds do.
func (w *bedWatch) judge(now time.Duration) HeatFault {
	w.settle(now)
	switch {
	case w.isOver(now):
		return OverTarget
	case w.isCold(now):
		return NoRise
	}
	return ""
}

// settle notes how long the bed has been near its target, and how long it has not moved there.
func (w *bedWatch) settle(now time.Duration) {
	if math.Abs(w.lastC-w.targetC) > bedNearC {
		w.nearTimes = 0
		return
	}
	if w.nearTimes++; w.nearTimes == 1 {
		w.nearAt, w.stillAt, w.stillC = now, now, w.lastC
	}
	if math.Abs(w.lastC-w.stillC) > bedStillC {
		w.stillAt, w.stillC = now, w.lastC
	}
}

// isOver reports whether the bed stays far over its target. From above it may come down, which takes long.
func (w *bedWatch) isOver(now time.Duration) bool {
	if w.lastC <= w.targetC+overC {
		w.below = w.below || w.highC <= w.targetC+overC
		w.over, w.overAt, w.overC = 0, now, w.highC
		return false
	}
	if w.highC <= w.overC-bedFallC && !w.below {
		w.over, w.overAt, w.overC = 0, now, w.highC
	}
	w.over++
	within := bedRiseIn
	if w.below || w.lowC > w.overC+bedRiseC {
		within = overFor
	}
	return w.over > 2 && now-w.overAt >= within
}

// isCold reports whether a bed that is to rise does not.
func (w *bedWatch) isCold(now time.Duration) bool {
	enough := w.targetC - bedNearC
	if w.risen {
		enough = w.targetC - bedSagC
	}
	if w.lowC >= enough || w.lowC >= w.riseC+bedRiseC {
		w.risen, w.riseAt, w.riseC = true, now, w.lowC
		return false
	}
	return now-w.riseAt >= bedRiseIn
}

// arrived says that the bed is at its target and stays, by the printer's own word where it gives one. One that only passes
// by has not arrived.
func (w *bedWatch) arrived(now time.Duration) bool {
	return w.nearTimes >= settledTimes && w.wrong == 0 && (now-w.stillAt >= bedStillFor || now-w.nearAt >= bedNearFor)
}

func (w *bedWatch) fail(f HeatFault) *HeatError {
	return &HeatError{Part: Bed, Fault: f, ReadsC: w.seen.BedC, TargetC: w.targetC, ReportsC: w.seen.BedTargetC, CapC: w.capC}
}
