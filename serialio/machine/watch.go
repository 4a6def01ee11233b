package machine

import (
	"math"
	"time"

	"fettle/serialio/gcode"
)

// What heat may do, as faults are told from noise. Times are printer time.
const (
	settledC      = 2.0 // within this of the target ...
	settledTimes  = 3   // ... so often in a row is there
	overC         = 15.0
	overFor       = 10 * time.Second
	roomC         = 40.0
	riseC         = 20.0
	riseWithin    = 60 * time.Second
	frozenFor     = 30 * time.Second
	jumpCPerS     = 15.0
	coldestC      = -10.0
	silentFor     = 10 * time.Second
	capOvershootC = 5.0 // a regulator swings over its target: a target close below the cap may be passed by so much
)

// A watch judges the readings of one nozzle. Replies carry no check, and one lost byte in ten gives a clean wrong
// number, so it acts on nothing that it has seen only once. It is pure: readings in, verdicts out.
type watch struct {
	told
	targetC float64
	aimed   bool // the target is ours; without it only the cap and plausibility are watched
	capC    float64

	heard   time.Duration // when the last reading came that could be read at all
	alike   int           // readings that agreed, from the first on
	last    reading       // the last one believed; before enough agree, the last one
	before  reading       // the one before that
	odd     reading       // one that jumped, until the next is believed
	lately  uint16        // the last sixteen readings, the newest lowest: which of them were not believed
	strange int           // readings in a row that were not believed
	loose   int           // of them, jumps with nothing to compare with
	startAt time.Duration
	startC  float64
	risen   bool
	lowestC float64
	overAt  time.Duration // since when it has been over its target and found no new lowest
	over    int           // readings since then
	sameAt  time.Duration // since when the reading has not moved
	settled int
	seen    gcode.Temperatures // the last report, for the error
}

// newWatch watches a nozzle that has been given the target, °C.
func newWatch(targetC float64, l Limits) *watch {
	capC := math.Min(l.NozzleMaxC, hardNozzleMaxC)
	return &watch{targetC: targetC, aimed: true, capC: math.Max(capC, math.Min(targetC, capC)+capOvershootC)}
}

// see takes the report that was asked for at asked and read at now; the reading is of some moment between the two.
// again says that the target did not arrive and is to be sent once more.
func (w *watch) see(asked, now time.Duration, t gcode.Temperatures) (again bool, err error) {
	w.lately <<= 1
	if !t.HasNozzle || math.IsNaN(t.NozzleC) {
		if now-w.heard >= silentFor || (t.NoNumber && w.counts(NoReading)) {
			return false, w.fail(NoReading)
		}
		return false, nil
	}
	w.seen, w.heard = t, now
	if fault, ok := w.doubt(asked, now, t.NozzleC); ok {
		w.settled = 0
		if w.counts(fault) {
			return false, w.fail(fault)
		}
		return false, nil
	}
	w.strange, w.loose = 0, 0
	w.believe(asked, now, t.NozzleC)
	if fault, ok := w.judge(now); ok {
		return false, w.fail(fault)
	}
	return w.checkTarget(t)
}

// judge holds what is believed against what heat does.
func (w *watch) judge(now time.Duration) (HeatFault, bool) {
	if !w.aimed {
		return "", false
	}
	if w.isOver(now) {
		return OverTarget, true
	}
	w.risen = w.risen || w.last.c-w.startC >= riseC || w.targetC-w.startC < riseC+settledC
	if !w.risen && now-w.startAt >= riseWithin {
		return NoRise, true
	}
	if w.last.c < w.targetC-settledC && now-w.sameAt >= frozenFor {
		return Frozen, true
	}
	if math.Abs(w.last.c-w.targetC) <= settledC {
		w.settled++
	} else {
		w.settled = 0
	}
	return "", false
}

// isOver reports whether the nozzle stays far over its target. From above it may come down: as long as it finds new
// lowest readings, it does. A nozzle that is off is as warm as the room.
func (w *watch) isOver(now time.Duration) bool {
	if w.last.c <= math.Max(w.targetC, roomC)+overC {
		w.over, w.overAt = 0, now
		return false
	}
	w.over++
	return w.over > 2 && now-w.overAt >= overFor
}

// checkTarget compares the target the printer reports with ours.
func (w *watch) checkTarget(t gcode.Temperatures) (again bool, err error) {
	if !w.aimed || !t.HasTarget {
		return false, nil
	}
	again, fault := w.compare(t.NozzleTargetC, w.targetC)
	if fault != "" {
		return false, w.fail(fault)
	}
	return again, nil
}

// arrived says that the nozzle is at its target, by the printer's own word where it gives one.
func (w *watch) arrived() bool { return w.settled >= settledTimes && w.wrong == 0 }

func (w *watch) fail(f HeatFault) *HeatError {
	return &HeatError{Part: Nozzle, Fault: f, ReadsC: w.seen.NozzleC, TargetC: w.targetC, ReportsC: w.seen.NozzleTargetC, CapC: w.capC}
}
