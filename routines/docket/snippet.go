package docket

import (
	"fmt"
	"strings"
)

// Snippet is the docket as lines for the start of a print: comments, and the words M207 and M208 where it is the firmware
// that retracts. Where it is not, those words would change nothing.
func (d Docket) Snippet() string {
	var b strings.Builder
	comment := func(format string, args ...any) {
		b.WriteString("; " + ascii(fmt.Sprintf(format, args...)) + "\n")
	}
	comment("docket of %s for %s, setup %d", d.Material, d.Printer, d.SetupVersion)
	comment("%s", d.whoHas())
	for _, r := range d.Rows {
		if r.Value != nil {
			comment("%s = %s (%s)", r.Kind, quantity(*r.Value, r.Unit), r.note())
		}
	}
	_, found := d.Value(RetractionLength)
	switch {
	case !found:
		comment("no retraction length is known yet: nothing is set here")
	case d.Retracts == Firmware:
		for _, line := range Lines(d.Numbers()) {
			b.WriteString(line + "\n")
		}
	case d.Retracts == SlicingProgram:
		comment("the slicing program retracts: set the values there")
	default:
		comment("the setup does not say who retracts: if it is the firmware, %s", strings.Join(Lines(d.Numbers()), " and "))
	}
	return b.String()
}

// ascii leaves in a comment what every firmware reads as one: a semicolon would be none, but a line end would end it.
func ascii(s string) string {
	s = strings.NewReplacer("°C", "C", "mm³", "mm3", "²", "2").Replace(s)
	return strings.Map(func(c rune) rune {
		if c < ' ' || c > '~' {
			return '?'
		}
		return c
	}, s)
}
