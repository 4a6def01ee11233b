package machine

import (
	"fmt"
	"slices"
	"strings"

	"fettle/serialio/gcode"
)

// hold holds a block to its entry in a closed list: each letter known, with a number where one belongs, within its range.
func (w word) hold(b gcode.Block) error {
	command := name(b)
	given := ""
	for _, p := range b.Words[1:] {
		i := slices.IndexFunc(w.letters, func(l letter) bool { return l.name == p.Letter })
		if i < 0 {
			return &RefusedError{command, fmt.Sprintf("%c is none of its parameters here", p.Letter), w.accepts(command)}
		}
		if !w.letters[i].takes(p) {
			return &RefusedError{command, fmt.Sprintf("%s is outside the range of %c", gcode.Block{Words: []gcode.Word{p}}, p.Letter), w.accepts(command)}
		}
		given += string(p.Letter)
	}
	if w.need != "" && !strings.ContainsAny(given, w.need) {
		return &RefusedError{command, "it says nothing alone", w.accepts(command)}
	}
	return nil
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
