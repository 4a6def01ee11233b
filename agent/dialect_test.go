package main

import (
	"time"

	"fettle/serialio/standin"
)

// dialects are printers that differ in how they talk and in nothing else, so each check comes to the same.
func dialects() []checked {
	var all []checked
	for _, d := range []struct {
		name   string
		change func(*standin.Profile)
		spoken string // as the wire's record has it
	}{
		// The slow ones first. Two talk each second of their own time, which at this speed never leaves the line quiet.
		{"temperatures from the start", func(p *standin.Profile) { p.ReportsEvery = time.Second }, `"text":" T:`},
		{"wait when idle", func(p *standin.Profile) { p.WaitsAloud = true }, `"text":"wait"`},
		// Here each ok may be the rest of something else, and is looked into.
		{"readings glued to the ok", func(p *standin.Profile) { p.GluedOK = true }, `"text":"okT:`},
		{"remarks at any time", func(p *standin.Profile) { p.RemarksEvery = 20 * time.Second }, `"text":"// T:300.0 /0.0"`},
		{"lines in pieces", func(p *standin.Profile) { p.LongestPause = 200 * time.Millisecond }, ""},
		{"CR LF", func(p *standin.Profile) { p.CRLF = true }, ""},
		{"busy without echo", func(p *standin.Profile) { p.BareBusy = true }, `"text":"busy: processing"`},

		{"readings before the ok", func(p *standin.Profile) { p.ReadingsFirst = true }, `"text":"T:`},
		{"readings without blanks", func(p *standin.Profile) { p.Slash = "/" }, "T:210.0/210.0 "},
		{"readings with many blanks", func(p *standin.Profile) { p.Slash = " / " }, "T:210.0 / 210.0 "},
		{"two tools", func(p *standin.Profile) { p.Tools = 2 }, `"text":"ok T0:`},
		{"two tools, one said to be in use", func(p *standin.Profile) { p.Tools, p.ToolInUse = 2, true }, " T1:20.5 /0.0 "},
		{"ok with fields", func(p *standin.Profile) { p.OKFields = true }, " P16 B128 T:"},

		{"settings without echo", func(p *standin.Profile) { p.BareSettings = true }, `"text":"M92 X80.00 Y80.00 Z400.00 E`},
		{"steps of its one tool", func(p *standin.Profile) { p.ToolSettings = true }, `"text":"echo:  M92 T0 E`},
		{"steps of each tool", func(p *standin.Profile) { p.Tools, p.ToolSettings = 2, true }, `"text":"echo:  M92 T1 E93.00"`},

		{"omits the ok behind a resend", func(p *standin.Profile) { p.NoResendOK = true }, "Resend: "},
		{"rs with an ok", func(p *standin.Profile) { p.ShortResend = true }, `"text":"rs N`},
		{"rs without an ok", func(p *standin.Profile) { p.ShortResend, p.NoResendOK = true, true }, `"text":"rs N`},
	} {
		all = append(all, checked{d.name, d.change, "change", "verified", "", d.spoken})
	}
	return all
}
