package machine

import (
	"fmt"
	"slices"
	"strings"

	"fettle/serialio/gcode"
)

// hold holds a block to its entry in a closed list: each letter known and given once, with a number where one belongs,
// within its range. It allocates only where it refuses: a program has many lines.
func (w word) hold(b gcode.Block) error {
	needed := w.need == ""
	for i, p := range b.Words[1:] {
		l, known := w.letter(p.Letter)
		switch {
		case !known:
			return w.refuse(b, fmt.Sprintf("%c is none of its parameters here", p.Letter))
		case !l.takes(p):
			return w.refuse(b, fmt.Sprintf("%s is outside the range of %c", gcode.Block{Words: []gcode.Word{p}}, p.Letter))
		case twice(b.Words[1:i+1], p.Letter):
			return w.refuse(b, fmt.Sprintf("%c stands there twice", p.Letter))
		}
		needed = needed || strings.IndexByte(w.need, p.Letter) >= 0
	}
	if !needed {
		return w.refuse(b, "it says nothing alone")
	}
	return nil
}

func (w word) refuse(b gcode.Block, why string) error {
	command := name(b)
	return &RefusedError{command, why, w.accepts(command)}
}

func (w word) letter(name byte) (letter, bool) {
	for _, l := range w.letters {
		if l.name == name {
			return l, true
		}
	}
	return letter{}, false
}

func twice(before []gcode.Word, letter byte) bool {
	return slices.ContainsFunc(before, func(w gcode.Word) bool { return w.Letter == letter })
}

func (l letter) takes(p gcode.Word) bool {
	if l.bare || p.Bare {
		return l.bare && p.Bare
	}
	return p.Value >= l.min && p.Value <= l.max
}

// accepts is the form of the word, for a person: "M106 with S 0 to 255, P 0 to 9".
func (w word) accepts(command string) string {
	if len(w.letters) == 0 {
		return command + " alone"
	}
	forms := make([]string, len(w.letters))
	for i, l := range w.letters {
		forms[i] = string(l.name)
		if !l.bare {
			forms[i] = fmt.Sprintf("%c %g to %g", l.name, l.min, l.max)
		}
	}
	return command + " with " + strings.Join(forms, ", ")
}

// list is the words of a closed list, for a person.
func list(words map[string]word) string {
	names := make([]string, 0, len(words))
	for w := range words {
		names = append(names, w)
	}
	slices.Sort(names)
	return strings.Join(names, ", ")
}
