package main

import "time"

// heldDocket is a docket with values that hold, values that are stale, and some that nobody knows.
func heldDocket() thing {
	at := time.Now().Add(-48 * time.Hour).Format(time.RFC3339)
	row := func(kind, label, unit string, value any, fresh bool, more thing) thing {
		r := thing{"kind": kind, "label": label, "unit": unit, "fresh": fresh, "stale": []thing{}, "earlier": []thing{}, "from": thing{"source": "measured", "how": "measured by run r12", "entry": 17, "run": "r12", "who": "Ann", "at": at}}
		if value == nil {
			r["from"] = thing{"source": "none", "how": "not known yet"}
		} else {
			r["value"] = value
		}
		return over(r, more)
	}
	stale := thing{"stale": []thing{{"what": "new_nozzle", "text": "new nozzle since then", "entry": 29, "at": at}}, "again": "retraction_ladder", "typed": thing{"min": 0, "max": 2}, "u95": 0.1,
		"earlier": []thing{{"entry": 12, "value": 1.0, "u95": 0.1, "how": "measured by run r9", "at": at}, {"entry": 8, "value": 0.9, "how": "typed by a person", "at": at}}}
	rows := []thing{row("retraction_length_mm", "Retraction length", "mm", 0.8, false, stale), row("retract_speed_mm_per_s", "Retract speed", "mm/s", 30, true, thing{"from": thing{"source": "held", "how": "held in run r12", "entry": 18, "run": "r12"}}),
		row("shortest_travel_mm", "Shortest travel that retracts", "mm", 1, true, thing{"from": thing{"source": "common_practice", "how": "common practice, not measured"}}), row("travel_speed_mm_per_s", "Travel speed", "mm/s", 200, true, nil),
		row("nozzle_c", "Nozzle temperature", "°C", 210, true, thing{"typed": thing{"min": 190, "max": 230}}), row("flow_limit_mm3_per_s", "Flow limit", "mm³/s", nil, false, nil), row("pressure_compensation", "Pressure compensation", "s", nil, false, thing{"typed": thing{"min": 0, "max": 2}}),
		row("steps_per_mm", "Steps/mm", "steps/mm", 95.88, true, thing{"u95": 0.45, "standing": "verified"})}
	return thing{"printer": "window", "setup_version": 2, "material": "plum-pla", "material_name": "Plum PLA (invented)", "active": "slicing_program", "retracts": "slicing_program",
		"handed_over": thing{"to": "slicing_program", "entry": 31, "at": at, "who": "Ann", "changed": []string{"retraction_length_mm"}}, "rows": rows, "due": []thing{{"do": "retraction_ladder", "text": "new nozzle since then"}}}
}

// docketStates are what holds, what was changed, and who has it.
func docketStates() []playedState {
	path := "/v1/printers/window/dockets/plum-pla"
	handed := thing{"docket": over(heldDocket(), thing{"active": "firmware", "handed_over": thing{"to": "firmware", "entry": 40, "at": time.Now().Format(time.RFC3339), "standing": "verified", "changed": []string{}}}), "to": "firmware",
		"written": thing{"standing": "verified", "why": "", "said": "M207 S0.80 F1800"}, "lines": []string{"M207 S0.8 F1800 Z0", "M208 S0 F1800"}, "notes": []string{"Turn off retraction in the slicing program."}}
	answers := func() thing {
		return thing{path: heldDocket(), path + "?as=gcode": "; retraction 0.8 mm\nM207 S0.8 F1800 Z0\n", path + "/handover": handed, path + "/values": heldDocket(), path + "/revert": heldDocket(), "/v1/printers/window/changes": thing{"entry": thing{"id": 41, "kind": "change"}, "makes_stale": []string{"flow_limit_mm3_per_s", "retraction_length_mm"}, "again": []string{"flow_limit", "retraction_ladder"}, "compares": false}}
	}
	differs := thing{"differs": []thing{{"word": "M92", "letter": "E", "label": "Steps/mm", "unit": "steps/mm", "docket": 95.88, "printer": 93, "from": "measured by run r3", "text": "Steps/mm: the docket has 95.88, the printer 93 (M92 E)"},
		{"word": "M207", "letter": "S", "label": "Retraction length", "unit": "mm", "docket": 0.8, "text": "Retraction length: the docket has 0.8, the printer none (M207 S)"}}}
	return []playedState{
		{name: "docket", hash: "#/dockets/window/plum-pla", head: "Plum PLA", answers: answers()},
		{name: "docket value", hash: "#/dockets/window/plum-pla/retraction_length_mm", head: "Retraction length.", answers: answers(), then: func(l *look) {
			l.phone.tap(".controls .action")
			l.phone.until(`document.querySelector('.trouble') !== null`)
			l.phone.tap(".choice.port")
			l.phone.until(headed("Plum PLA"))
		}},
		{name: "docket change", hash: "#/dockets/window/plum-pla/change", head: "What was changed?", answers: answers(), then: func(l *look) {
			l.phone.tapNamed(".choice", "new nozzle")
			l.phone.tap(".action")
			l.phone.until(`document.querySelector('.done-so')?.textContent.includes('flow limit') ?? false`)
			l.at("played docket changed", `document.querySelector('.done-so') !== null`, false)
		}},
		{name: "hand over", hash: "#/dockets/window/plum-pla/hand-over", head: "Which of the two retracts?", answers: answers(), then: func(l *look) {
			l.phone.tapNamed(".choice", "The printer’s firmwareIt is written, and read back.")
			l.phone.tapNamed(".action", "Yes, write them to the printer")
			l.phone.until(`document.querySelector('.done-so')?.textContent.includes('M207 S0.8') ?? false`)
			l.phone.tapNamed(".link", "Lines for the start of a print")
			l.phone.until(`document.querySelector('pre.copy')?.textContent.includes('M207 S0.8 F1800 Z0') ?? false`)
			l.at("played handed over", `document.querySelector('.done-so') !== null`, false)
		}},
		{name: "docket and printer differ", hash: "#/differs/window", head: "The printer says 93", whole: true, printer: differs, answers: answers()},
		{name: "start with a ladder due", hash: "#/printers/window", head: "The retraction ladder is next.", whole: true, printer: over(thing{"due": []string{"retraction_ladder: new nozzle since then", "hand_over: never handed over"}}, differs), answers: answers()},
		{name: "logbook empty", hash: "#/logbook", head: "Nothing is recorded yet."},
		{name: "dockets", hash: "#/dockets/window", head: "Which filament is loaded?"},
	}
}
