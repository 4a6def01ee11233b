package standin

import "time"

// Snapshot is the truth about the printer at one moment, for tests and for the demo's own eyes. A host cannot see it.
type Snapshot struct {
	Now     time.Duration // since the power came on, in the printer's time
	Booting bool
	Halted  bool
	Waiting bool // a line is in hand and not yet answered

	NozzleC, NozzleTargetC float64
	BedC, BedTargetC       float64
	Hot                    bool    // a heater has a target or is given power
	Fan                    float64 // 0 to 255
	ColdLifted             bool    // cold extrusion is let through

	Position    [4]float64 // X Y Z E, where the queue ends, in the coordinates of G92
	HeadMM      [3]float64 // where the head really is, from home
	FeedPercent float64    // M220
	FlowPercent float64    // M221
	Relative    bool       // G91
	RelativeE   bool       // M83
	Queued      int        // moves in the planner, the one under way included
	Moves       int        // moves begun since the power came on

	RAM    Settings
	Stored Settings // nil: nothing was ever stored

	LastLine    int64    // number of the last line obeyed
	Obeyed      []Obeyed // oldest first, the last 4,096
	ObeyedTotal int
	Resets      int // since the power came on
	Refused     int // lines asked for again
	LostBytes   int // that found the board deaf or its buffer full
}

// Snapshot copies everything; what is done to the copy changes nothing.
func (f *Firmware) Snapshot() Snapshot {
	w := &f.world
	n, b := f.heaters[nozzle].targetC, f.heaters[bed].targetC
	return Snapshot{
		Now: f.now, Booting: f.booting(), Halted: f.halted, Waiting: f.wait != nil,
		NozzleC: w.heat[nozzle].tempC, NozzleTargetC: n, BedC: w.heat[bed].tempC, BedTargetC: b,
		Hot: n > 0 || b > 0 || w.power[nozzle] > 0 || w.power[bed] > 0, Fan: f.fan,
		ColdLifted: f.cold.lifted || f.cold.minC == 0,
		Position:   f.modes.at, HeadMM: w.headMM, FeedPercent: f.modes.feedPercent, FlowPercent: f.modes.flowPercent,
		Relative: f.modes.relative, RelativeE: f.modes.relativeE, Queued: f.planner.queued(), Moves: f.diary.moves,
		RAM: f.ram.clone(), Stored: f.stored.clone(),
		LastLine: f.last, Obeyed: f.diary.obeyed(), ObeyedTotal: f.diary.total,
		Resets: f.diary.resets, Refused: f.diary.refused, LostBytes: f.diary.lost,
	}
}
