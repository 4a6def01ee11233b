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

// ownLines reads a printer's own lines, holds them to the closed list, and names the one that is outside it.
func ownLines(field string, lines []string) ([]gcode.Block, error) {
	if len(lines) > mostOwnLines {
		return nil, &FieldError{Field: field, Detail: fmt.Sprintf("has %d lines", len(lines)), Accept: fmt.Sprintf("at most %d", mostOwnLines)}
	}
	var blocks []gcode.Block
	for i, line := range lines {
		b, err := gcode.Parse(line)
		if err != nil {
			return nil, &FieldError{Field: nth(field, i), Detail: "cannot be read: " + err.Error(), Accept: "one G-code block"}
		}
		if !slices.ContainsFunc(ownWords, b.Is) {
			return nil, &FieldError{Field: nth(field, i), Detail: fmt.Sprintf("is %q", line), Accept: "blocks that begin with " + strings.Join(ownWords, ", ")}
		}
		blocks = append(blocks, b)
	}
	return blocks, nil
}

func nth(field string, i int) string { return fmt.Sprintf("%s[%d]", field, i) }

// linesBefore refuses lines that probe or move before they have homed all axes: where a printer stands is not known
// until then, and a bed compensation alone homes nothing.
func linesBefore(lines []string) error {
	blocks, err := ownLines("before", lines)
	if err != nil || len(blocks) == 0 {
		return err
	}
	homed := ""
	refused := func(i int, why string) error {
		return &FieldError{Field: nth("before", i), Detail: fmt.Sprintf("is %q, %s", lines[i], why), Accept: "G28 ahead of it, or X, Y and Z of it together"}
	}
	for i, b := range blocks {
		if homed += homes(b); strings.ContainsRune(homed, 'X') && strings.ContainsRune(homed, 'Y') && strings.ContainsRune(homed, 'Z') {
			return nil
		}
		if b.Is("G0") || b.Is("G1") || b.Is("G29") {
			return refused(i, "and not all axes are homed by then")
		}
	}
	return refused(len(lines)-1, "the last line, and not all axes are homed by then")
}

// linesAfter refuses lines that bring the nozzle down where the finished piece stands: G29, and G28 of Z.
func linesAfter(lines []string) error {
	blocks, err := ownLines("after", lines)
	if err != nil {
		return err
	}
	for i, b := range blocks {
		if b.Is("G29") || strings.ContainsRune(homes(b), 'Z') {
			return &FieldError{Field: nth("after", i), Detail: fmt.Sprintf("is %q, which brings the nozzle down on the piece", lines[i]), Accept: "G28 of X and Y alone, and no G29"}
		}
	}
	return nil
}

// homes lists the axes that a block homes: those it names, all where it names none.
func homes(b gcode.Block) string {
	if !b.Is("G28") {
		return ""
	}
	var axes strings.Builder
	for _, w := range b.Words[1:] {
		if strings.IndexByte("XYZ", w.Letter) >= 0 {
			axes.WriteByte(w.Letter)
		}
	}
	if axes.Len() == 0 {
		return "XYZ"
	}
	return axes.String()
}
