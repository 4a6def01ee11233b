package standin

import "fmt"

// deed is what one word does. It may leave a wait behind; otherwise the line is answered as soon as it returns.
type deed func(*Firmware, block)

// deeds are the words this firmware knows.
var deeds = map[string]deed{
	"G0": queued(move), "G1": queued(move), "G4": dwell, "G28": home, "G29": probe,
	"G10": queued(retract), "G11": queued(unretract), "G21": nothing, "G92": rename,
	"G90": absolute, "G91": relative, "M82": absoluteE, "M83": relativeE,
	"M420": nothing, "M18": still, "M84": still, "M400": still, "M410": quickStop,

	"M104": nozzleTarget, "M109": nozzleWait, "M140": bedTarget, "M190": bedWait,
	"M105": askTemperatures, "M155": reportTemperatures,
	"M106": fanOn, "M107": fanOff, "M108": nothing, "M302": coldExtrusion,

	"M92": set, "M200": set, "M201": set, "M203": set, "M204": set, "M205": set, "M207": set, "M208": set,
	"M301": set, "M304": set,
	"M220": feedMultiplier, "M221": flowMultiplier,
	"M500": store, "M501": load, "M502": loadDefaults, "M503": askSettings,

	"M110": lineNumberSet, "M112": kill, "M114": askPosition, "M115": askIdentity, "M118": echo,
	"M999": restart, "T0": nothing,
}

// queued is a word that waits until the planner has room.
func queued(do deed) deed {
	return func(f *Firmware, b block) { f.whenRoom(do, b) }
}

// obey does a line whose frame was right.
func (f *Firmware) obey(h heard) {
	if h.numbered {
		f.last = h.number
	}
	h.block = h.block.lettered(f.letters[:0])
	f.letters = h.block.letter
	f.reply = h.numbering
	f.busyAt = f.now + f.profile.BusyEvery
	f.diary.note(h)
	do, known := deeds[h.block.word]
	switch {
	case h.block.text == "": // a numbered line with nothing in it
	case known && f.profile.knows(h.block.word):
		do(f, h.block)
	default:
		f.say(fmt.Sprintf("echo:Unknown command: %q", h.block.text))
	}
}

// answer gives the line in hand its ok once it is done.
func (f *Firmware) answer() {
	if f.wait == nil && !f.deaf() {
		f.ok()
	}
}

// deaf is true once the line in hand has halted, hung or restarted the board: it gets no ok.
func (f *Firmware) deaf() bool { return f.halted || f.hung || f.booting() }

func nothing(*Firmware, block) {}

func lineNumberSet(f *Firmware, b block) {
	if n, ok := b.value('N'); ok {
		f.last = int64(n)
	}
}

func echo(f *Firmware, b block) { f.say(b.args) }
