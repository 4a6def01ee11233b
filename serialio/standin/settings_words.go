package standin

import "strings"

// set changes a row of settings in RAM; without letters it reports the row.
func set(f *Firmware, b block) {
	r := f.meant(b)
	if r == nil {
		f.say("echo:No such tool: " + b.text)
		return
	}
	if len(b.letter) == 0 {
		f.list(*r)
		return
	}
	for _, p := range b.letter {
		i := strings.IndexByte(r.Letters, p.letter)
		switch {
		case i < 0 || p.bare:
		case p.value < lowest(b.word):
			f.say("echo:Value out of range: " + b.text)
		default:
			r.Values[i] = p.value
		}
	}
	if d, ok := b.value('D'); ok && b.word == "M200" && !b.has('S') {
		r.Values[0] = 0 // a diameter switches cubic millimetres on, none switches them off
		if d > 0 {
			r.Values[0] = 1
		}
	}
	f.tune()
}

// lowest is the smallest value a word accepts: steps, speeds and accelerations of zero would stand still for ever.
func lowest(word string) float64 {
	switch word {
	case "M92", "M201", "M203", "M204":
		return 0.01
	case "M208":
		return -10
	}
	return 0
}

func feedMultiplier(f *Firmware, b block) {
	if v, ok := b.value('S'); ok {
		f.modes.feedPercent = min(max(v, 10), 999)
		return
	}
	f.say("FR:" + fixed(f.modes.feedPercent, 0) + "%")
}

func flowMultiplier(f *Firmware, b block) {
	if v, ok := b.value('S'); ok {
		f.modes.flowPercent = min(max(v, 10), 999)
		return
	}
	f.say("echo:E0 Flow: " + fixed(f.modes.flowPercent, 0) + "%")
}

func store(f *Firmware, _ block) {
	if f.profile.StoresNothing {
		f.say("Error:No storage for settings")
		return
	}
	f.stored = f.ram.clone()
	f.say("echo:Settings stored")
}

func load(f *Firmware, b block) {
	switch {
	case f.profile.StoresNothing:
		f.say("Error:No storage for settings")
	case f.stored == nil:
		loadDefaults(f, b)
	default:
		f.ram = f.stored.clone()
		f.tune()
		f.say("echo:Stored settings loaded")
	}
}

func loadDefaults(f *Firmware, _ block) {
	f.ram = defaults(&f.profile)
	f.tune()
	f.say("echo:Default settings loaded")
}
