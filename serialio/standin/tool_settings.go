package standin

import "fmt"

// ofTool is the row of a tool beyond the first, which is in the row M92 itself.
func ofTool(word string, tool int) string { return fmt.Sprintf("%s T%d", word, tool) }

// meant is the row that a block speaks of; nil if it names a tool that is not there.
func (f *Firmware) meant(b block) *Row {
	tool, named := b.value('T')
	if b.word != "M92" || !named || tool == 0 {
		return f.ram.row(b.word)
	}
	return f.ram.row(ofTool(b.word, int(tool)))
}

func askSettings(f *Firmware, _ block) {
	for _, r := range f.ram {
		if !f.profile.knows(r.Word) {
			continue
		}
		if !f.profile.BareSettings {
			f.say("echo:; " + r.Remark + ":")
		}
		f.list(r)
	}
}

// list says a row of settings.
func (f *Firmware) list(r Row) {
	begin := "echo:  "
	if f.profile.BareSettings {
		begin = ""
	}
	if r.Word == "M92" && f.profile.ToolSettings {
		f.say(begin + Row{r.Word, "", r.Letters[:axisE], r.Values[:axisE]}.String())
		r = Row{ofTool(r.Word, 0), "", r.Letters[axisE:], r.Values[axisE:]}
	}
	f.say(begin + r.String())
}
