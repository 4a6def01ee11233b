package routines

import (
	"fmt"
	"slices"
	"strings"

	"fettle/serialio/gcode"
)

// mostOwnLines is how many lines of its own a printer may want before a print, or behind it.
const mostOwnLines = 24

// ownWords are the words that a printer's own lines before and after a print may hold: modes, homing, probing, its stored
// bed compensation, the fan, moves. Heat is not among them, since it is waited for from outside, nor is anything that writes
// settings. Each line is held to the printer's limits when it is sent.
var ownWords = []string{"G0", "G1", "G21", "G28", "G29", "G90", "G91", "G92", "M82", "M83", "M106", "M107", "M400", "M420"}

// ownLines holds a printer's own lines to the closed list, and names the one that is outside it.
func ownLines(field string, lines []string) error {
	if len(lines) > mostOwnLines {
		return &FieldError{Field: field, Detail: fmt.Sprintf("has %d lines", len(lines)), Accept: fmt.Sprintf("at most %d", mostOwnLines)}
	}
	for i, line := range lines {
		name := fmt.Sprintf("%s[%d]", field, i)
		b, err := gcode.Parse(line)
		if err != nil {
			return &FieldError{Field: name, Detail: "cannot be read: " + err.Error(), Accept: "one G-code block"}
		}
		if !slices.ContainsFunc(ownWords, b.Is) {
			return &FieldError{Field: name, Detail: fmt.Sprintf("is %q", line), Accept: "blocks that begin with " + strings.Join(ownWords, ", ")}
		}
	}
	return nil
}
