package machine

import "fettle/serialio/gcode"

// programmed is what a program may hold: its moves, the modes they are read in, and what is bound to them. It waits for no
// heat: whoever streams it does, outside. It multiplies nothing: that would be given back by nobody.
var programmed = map[string]word{
	"G0": step, "G1": step,
	"G10": asks, "G11": asks, // by the retraction that the printer has set, or that M207 and M208 set
	"G21": asks, "G90": asks, "G91": asks, "M82": asks, "M83": asks,
	"G28":  {letters: axisNames[:3], touches: motion},
	"G29":  {touches: motion},
	"M420": {letters: []letter{{name: 'S', max: 1}, {name: 'Z', max: 100}}, need: "S"}, // the stored bed compensation, in use or not
	"G92":  {letters: each("E", -100_000, 100_000), need: "E"},                         // of an axis it would move the limits with it
	"M104": typed["M104"], "M140": typed["M140"],
	"M106": fanOn, "M107": fanOff,
	"M204": given["M204"], "M207": given["M207"], "M208": given["M208"],
	"M400": asks,
}

// step is a move of a program. With F alone it moves nothing, and says how fast the next ones are.
var step = word{letters: move.letters, need: "XYZEF", touches: motion}

// inProgram is the same list, to be looked up without making a text.
var inProgram = byCommand(programmed)

// A command is a word of a closed list by its name.
type command struct {
	name string
	word
}

func byCommand(words map[string]word) map[gcode.Word]command {
	list := make(map[gcode.Word]command, len(words))
	for name, w := range words {
		list[block(name).Words[0]] = command{name, w}
	}
	return list
}

// commandOf finds a block's entry in the list and holds it to that.
func commandOf(b gcode.Block) (command, error) {
	if len(b.Words) == 0 {
		return command{}, &RefusedError{"", "it is an empty line", list(programmed)}
	}
	c, ok := inProgram[b.Words[0]]
	if ok {
		return c, c.hold(b)
	}
	named := name(b)
	for _, table := range []map[string]no{never, untyped} {
		if no, known := table[named]; known {
			return c, &RefusedError{named, no.why, no.accept}
		}
	}
	return c, &RefusedError{named, "it is not on the list of what a program may hold", list(programmed)}
}
