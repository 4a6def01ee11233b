package standin

import "time"

// board is everything that lives in the board's own memory and is gone after a reset.
type board struct {
	bootEnds time.Duration // idle once it is up
	halted   bool
	ear      ear
	last     int64 // number of the last line obeyed

	wait   *wait // why the line in hand is not yet done; nil: none is in hand
	inHand wait
	busyAt time.Duration // when the host is next told so
	tail   string        // what goes behind the ok of the line in hand
	reply  numbering     // of the line in hand
	early  bool          // its ok has been said
	mute   bool          // nothing is said any more
	hung   bool          // nor heard

	ram     Settings
	tuning  tuning // by ram
	planner planner
	modes   modes
	origin  [3]float64 // where the head was when the board began to count steps
	heaters [2]heater
	cold    coldBlock
	fan     float64 // 0 to 255

	reportEvery time.Duration // M155; 0: off
	reportAt    time.Duration
	waitAt      time.Duration // of the next "wait"
	museAt      time.Duration // of the next lie that nothing calls for
	stormAt     time.Duration // of the next Resend that nothing calls for; 0: none

	frozen  bool // the nozzle is reported as frozenC
	frozenC float64
}

// modes are the words that stay in force until their opposite comes.
type modes struct {
	at          [4]float64 // where the queue ends, in the coordinates of G92
	relative    bool       // G91
	relativeE   bool       // M83
	feedMMPerS  float64    // of the last F
	feedPercent float64    // M220
	flowPercent float64    // M221
	retracted   bool       // G10 without its G11
}

func (f *Firmware) boot() {
	ram := f.stored.clone()
	if ram == nil {
		ram = defaults(&f.profile)
	}
	f.board = board{
		bootEnds: f.now + max(f.profile.BootTime, 0),
		ear:      ear{room: f.profile.ReceiveBytes},
		ram:      ram,
		modes:    modes{feedMMPerS: 25, feedPercent: 100, flowPercent: 100},
		origin:   f.world.headMM,
		heaters:  newHeaters(),
		cold:     coldBlock{minC: f.profile.MinExtrudeC},
	}
	f.tune()
	f.reportEvery = max(f.profile.ReportsEvery, 0)
	f.reportAt = f.bootEnds + f.reportEvery
	f.waitAt = f.bootEnds + waitEvery
	f.museAt = f.bootEnds + museEvery
	if f.profile.RemarksEvery > 0 {
		f.chatter.after(f.bootEnds, f.profile.RemarksEvery)
	}
	f.world.power = [2]float64{}
	f.mouth.forget()
	f.wake()
}

func (f *Firmware) booting() bool { return f.bootEnds != idle }

// wake ends the boot when its time has come.
func (f *Firmware) wake() {
	if !f.booting() || f.now < f.bootEnds {
		return
	}
	f.bootEnds = idle
	if f.profile.Greets {
		f.greet()
	}
}

func (f *Firmware) greet() {
	f.say("start")
	f.say("echo:" + f.profile.Name)
	if f.stored != nil {
		f.say("echo:Stored settings in use")
	} else {
		f.say("echo:Default settings in use")
	}
}
