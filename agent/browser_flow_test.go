package main

import (
	"encoding/json"
	"os"
	"time"

	"fettle/routines/feed"
)

// climbKept is a whole climb as the routine's own tests keep it: its questions, its finding, its entries. Its data are
// invented.
type climbKept struct {
	Questions []thing `json:"questions"`
	Finding   thing   `json:"finding"`
	Entries   []thing `json:"entries"`
}

func (l *look) climbKept() climbKept {
	l.Helper()
	text, err := os.ReadFile("../routines/feed/testdata/flow_limit.json")
	if err != nil {
		l.Fatal(err)
	}
	var kept climbKept
	if err := json.Unmarshal(text, &kept); err != nil {
		l.Fatal(err)
	}
	return kept
}

// block is the entry of the nth block.
func (c climbKept) block(n int) thing { return c.Entries[n-1]["body"].(thing) }

// asking is the nth question, open.
func (c climbKept) asking(n int) thing {
	now := time.Now()
	return over(thing{"number": n + 1, "asked": now.Format(time.RFC3339), "cools_at": now.Add(5 * time.Minute).Format(time.RFC3339)}, c.Questions[n])
}

// takenUp is what is fed before a mark is asked for.
func (c climbKept) takenUp() thing {
	return thing{"kind": "done", "name": "pre-feed", "body": thing{"commanded_mm": 10}}
}

// facts are what has happened before the nth question.
func (c climbKept) facts(n int) (out []thing) {
	out = []thing{{"kind": "done", "name": "read limit", "body": thing{"setup_mm_per_s": 5, "firmware_mm_per_s": 25}}}
	block := 0
	for i, q := range c.Questions[:n] {
		answer := thing{"air": true}
		switch q["figure"] {
		case "mark":
			answer = thing{"mark_mm": q["shown"].(thing)["mark_mm"]}
			out = append(out, c.takenUp())
		case "leftover":
			block++
			out = append(out, thing{"kind": "done", "name": "feed 1", "body": c.block(block)["feed"]})
			answer = thing{"leftover_mm": c.block(block)["leftover_mm"]}
		}
		out = append(out, thing{"kind": "asked", "name": q["name"], "question": i + 1, "body": q}, thing{"kind": "answered", "name": q["name"], "question": i + 1, "body": answer})
	}
	return out
}

// upTo are the facts before the nth question is open.
func (c climbKept) upTo(n int) []thing {
	if c.Questions[n]["figure"] == "mark" {
		return append(c.facts(n), c.takenUp())
	}
	return c.facts(n)
}

// answers are those before the nth question, as a run has them.
func (c climbKept) answers(n int) []thing {
	out := []thing{}
	for _, e := range c.facts(n) {
		if e["kind"] == "answered" {
			out = append(out, thing{"question": e["question"], "name": e["name"], "answer": e["body"], "at": time.Now().Format(time.RFC3339)})
		}
	}
	return out
}

// entriesOf lays entries out as the logbook has them.
func entriesOf(entries []thing) thing {
	var out []thing
	for i, e := range entries {
		out = append(out, over(thing{"id": 61 + i, "seq": 5, "run": "r1", "printer": "window", "material": "plum-pla", "wall_ms": time.Now().UnixMilli()}, e))
	}
	return thing{"/v1/logbook": thing{"entries": out}}
}

// flowSetup is a printer whose nozzle has a usual bore.
func flowSetup() thing {
	return thing{"nozzle": thing{"c": 209.6, "target_c": 210, "age_s": 1, "outdated": false}, "setup": thing{"version": 1, "drive": "direct", "switch": "back, left", "liner": "all_metal", "nozzle_max_c": 280,
		"nozzle_bore_mm": 0.4, "filament_diameter_mm": 1.75, "feed_max_mm_per_s": 5}}
}

// flowStates are a climb to the flow limit, from its beginning to what it finds.
func flowStates(l *look) []playedState {
	c, r := l.climbKept(), feed.FlowLimit()
	routine := thing{"/v1/routines": thing{"routines": []thing{{"name": r.Name, "title": r.Title, "program": r.Program, "fields": r.Inputs}}}}
	refused := thing{"problem": thing{"type": "about:blank", "title": "The inputs do not fit", "status": 422, "code": "bad_inputs", "detail": "",
		"errors": []thing{{"pointer": "/inputs/tolerance_percent", "detail": "is 2: a block of 50 mm read with a rule, 1 mm divisions is uncertain by 1.2 % (one standard uncertainty)", "accept": "at least 2.4 %, a longer block, or a finer gauge"}}}}
	run := func(over_ thing) thing {
		return over(thing{"routine": "flow_limit", "inputs": thing{"block_mm": 50, "tolerance_percent": 2}}, over_)
	}
	asked := func(name, head string, n int, then func(*look)) playedState {
		return playedState{name: name, hash: "#/runs/r1", head: head, whole: true, printer: flowSetup(), events: c.upTo(n), run: run(thing{"state": "asking", "question": c.asking(n), "answers": c.answers(n)}), then: then}
	}
	states := []playedState{
		{name: "flow begin", hash: "#/begin/window/flow_limit", head: "Is Plum PLA loaded?", whole: true, printer: flowSetup(), answers: over(routine, thing{"/v1/runs": refused}), then: flowRefused},
		asked("flow air", "Is there 50", 0, nil),
		asked("flow leftover", "That was 8", 5, heard),
		asked("flow mark", "Mark the filament", 7, nil),
		{name: "flow feeding", hash: "#/runs/r1", head: "Feeding block 5.", printer: flowSetup(), run: run(thing{"answers": c.answers(6), "doing": thing{"what": "feeding", "fed_mm": 21.4, "of_mm": 50}}),
			events: append(c.facts(6), thing{"kind": "begun", "name": "feed 5"}), answers: entriesOf(c.Entries[:4]), then: soFarInNumbers},
		{name: "flow taking up the play", hash: "#/runs/r1", head: "Taking up the play.", printer: flowSetup(), run: run(thing{"answers": c.answers(7), "doing": thing{"what": "feeding", "fed_mm": 4.2, "of_mm": 10}}),
			events: append(c.facts(7), thing{"kind": "begun", "name": "pre-feed 6"})},
		{name: "flow bite", hash: "#/runs/r1", head: "Pull the filament out.", whole: true, printer: flowSetup(), events: c.facts(4), run: run(thing{"state": "asking", "question": biteAsked(), "answers": c.answers(4)}), then: bitten},
	}
	return append(states, flowFindings(c)...)
}

// flowRefused is a climb that is not begun as it was ordered: what is wrong stands beside its field.
func flowRefused(l *look) {
	p := l.phone
	l.excused = "422"
	p.tap(".action")
	beside := `[...document.querySelectorAll('.field')].some((e) => e.querySelector('#f-tolerance_percent') !== null && (e.querySelector('.fault')?.textContent ?? '').includes('is uncertain by'))`
	p.until(beside)
	l.at("played flow refused", beside, false)
	p.tapNamed(".foot .link", "Back")
	p.untilHead("Is Plum PLA loaded?")
	p.tapNamed(".link", "Gauge, block, fastest flow")
	l.at("played flow more", headed("How is the climb to be done?"), false)
}

// heard is a drive that clicks: said with two touches of a thumb, and a digit takes it back.
func heard(l *look) {
	p := l.phone
	ends := `document.querySelector('.action')?.textContent === 'Record: it clicked'`
	p.tapNamed(".grades .cell", "It clicked")
	l.at("played flow clicked", ends, true)
	p.keys("7")
	p.until(`document.querySelector('.cell[aria-pressed=true]') === null && document.querySelector('input.number').value === '7'`)
}

// soFarInNumbers goes to the numbers of a climb underway, and back to it.
func soFarInNumbers(l *look) {
	l.phone.turn("#/runs/r1/curve")
	rows := `document.querySelectorAll('table tbody th[scope=row]').length === 4`
	l.at("played flow numbers so far", rows, false)
	l.phone.tapNamed(".foot .link", "Back to the run")
	l.phone.untilHead("Feeding block 5.")
}

func biteAsked() thing {
	choice := func(value, label string) thing { return thing{"value": value, "label": label} }
	return thing{"number": 9, "name": "bite", "figure": "bite", "text": "Pull the filament out. How do the gear's marks on it look?", "reason": "It slips at low flow already. The marks tell a weak grip from a nozzle that lets too little through.",
		"warning": []string{"Treat the nozzle as hot until it reads below 50\u00a0°C."}, "asked": time.Now().Format(time.RFC3339),
		"fields": []thing{{"name": "bite", "label": "The gear's marks", "kind": "choice", "choices": []thing{choice("shallow", "Faint, or on one side"), choice("deep", "Deep, or ground away"), choice("even", "Even and clean all round"), choice("unseen", "Cannot see them")}}}}
}

// bitten touches the drawing that looks like the filament.
func bitten(l *look) {
	if !eval[bool](l.phone.tab, `document.querySelector('.action').getAttribute('aria-disabled') === 'true'`) {
		l.Error("something is proposed before anybody chose")
	}
	l.phone.tapNamed(".stage .pick", "Deep, or ground away")
	l.at("played flow bitten", `document.querySelector('.action').textContent === 'Deep, or ground away'`, true)
}

// flowFindings are what a climb ends with.
func flowFindings(c climbKept) []playedState {
	value := func(name, unit string, v, u95 float64) thing {
		return thing{"name": name, "unit": unit, "value": v, "u95": u95}
	}
	end := func(kind, headline, reason string, before int, notes []string, entries []thing, values ...thing) playedState {
		return playedState{name: "flow found " + kind, hash: "#/runs/r1", head: headline, whole: true, printer: flowSetup(), events: append(c.facts(before), thing{"kind": "run ended", "name": "finished"}), answers: entriesOf(entries),
			run: thing{"routine": "flow_limit", "state": "finished", "inputs": thing{"block_mm": 50, "tolerance_percent": 2}, "finding": thing{"kind": kind, "headline": headline, "reason": reason, "notes": notes, "values": values}}}
	}
	said := over(thing{}, c.block(3))
	said["instead"] = "clicking"
	loud := append(append([]thing{}, c.Entries[:2]...), thing{"kind": "flow_block", "unit": "mm", "value": 45.2, "u95": 0.49, "body": over(said, thing{"fed_part": 0.904})})
	found := end("found", "Work at up to 5.6\u00a0mm³/s", c.Finding["reason"].(string), 7, nil, c.Entries)
	found.run["finding"] = c.Finding
	found.then = anotherLine
	return []playedState{found,
		end("at_least", "The limit is not below 5.3\u00a0mm³/s", "Up to 6\u00a0mm³/s nothing shows that what is fed falls.", 4, []string{"Try again with a higher fastest flow, a longer block or a finer gauge."}, c.Entries[:3], value("at_least_mm3_per_s", "mm³/s", 5.3, 0)),
		end("short", "Mend the grip first", "It slips at low flow already, and the more the faster. That is no matter of steps/mm: leave those alone.",
			4, []string{"Clean the gear, look for worn teeth, and press the idler on harder; then a feed check, and this again.", "Cut off the ground piece and brush the gear before the next print."}, loud, value("short_percent", "%", 1.2, 1.1), value("falls_at_mm3_per_s", "mm³/s", 3.4, 1.1)),
		end("too_fast", "The climb began too fast", "It may fall short from the slowest flow on, and nothing shows from where.", 4, []string{"Try again with a lower fastest flow, so that the steps are smaller; or with a finer gauge."}, loud),
		end("too_few", "The printer's own limit is in the way", "Only 3 flows are within it, and a limit shows from 4 on.", 0, []string{"Left out: 8, 10\u00a0mm³/s, faster than the firmware's limit (M203 E) of 3\u00a0mm/s.", "Try again with a lower fastest flow."}, nil),
		end("failed", "Look at the printer first", "Only 20\u00a0mm of 50\u00a0mm went in at the slowest flow. Look at the gear's grip, the nozzle and its temperature, then do a feed check.", 2, nil, c.Entries[:1]),
	}
}

// anotherLine reads the numbers as a table, and works out the top speed of another line: 5.633614 / (0.5 x 0.2) = 56.3.
func anotherLine(l *look) {
	p := l.phone
	p.tapNamed(".link", "The numbers")
	table := `document.querySelector('table caption') !== null && document.querySelectorAll('table tbody th[scope=row]').length === 6 && document.querySelectorAll('table thead th[scope=col]').length === 5`
	p.until(table)
	if told := eval[string](p.tab, `document.querySelector('.top-speed').textContent`); told != "Up to  50\u00a0mm/s: 5.63\u00a0/ (0.45\u00a0×\u00a00.25)." {
		l.Errorf("the usual line is told as %q", told)
	}
	for _, field := range []struct{ id, text string }{{"width", "0,5"}, {"height", "0.2"}} {
		eval[bool](p.tab, `((e) => { e.value = `+quote(field.text)+`; e.dispatchEvent(new Event('input')); return true; })(document.querySelector('#f-`+field.id+`'))`)
	}
	p.until(`document.querySelector('.top-speed').textContent.includes('56\u00a0mm/s: 5.63\u00a0/ (0.5\u00a0×\u00a00.2)')`)
	l.at("played flow numbers", table+` && document.querySelector('.controls').textContent.includes('Skipped: 14, 16')`, false)
	eval[bool](p.tab, `(document.querySelector('#desk').scrollTop = 9999) > 0`)
	l.at("played flow another line", table, false)
}
