package main

import (
	"encoding/json"
	"os"
	"strings"
	"time"

	"fettle/routines/feed"
)

// wayKept is a way to measure as the routine's own tests keep it: what it asks, what is recorded of its pass, its notes.
// Its data are invented.
type wayKept struct {
	Method    string   `json:"method"`
	Questions []thing  `json:"questions"`
	Pass      thing    `json:"pass"`
	Notes     []string `json:"notes"`
}

func waysKept(l *look) map[string]wayKept {
	l.Helper()
	text, err := os.ReadFile("../routines/feed/testdata/ways.json")
	if err != nil {
		l.Fatal(err)
	}
	var all []wayKept
	if err := json.Unmarshal(text, &all); err != nil {
		l.Fatal(err)
	}
	ways := map[string]wayKept{}
	for _, w := range all {
		ways[w.Method] = w
	}
	return ways
}

// wayRun is a feed check that goes its way.
func wayRun(method string, run thing) thing {
	return over(thing{"routine": "feed_check", "inputs": thing{"method": method, "commanded_mm": 100, "pre_feed_mm": 5, "lengths": 3, "gauge": "caliper"}}, run)
}

// asking is the question that has this figure, open, with what was answered before it.
func (w wayKept) asking(figure string) (run thing, events []thing) {
	answers := []thing{}
	for n, q := range w.Questions {
		if q["figure"] == figure {
			return wayRun(w.Method, thing{"state": "asking", "answers": answers, "question": over(thing{"number": n + 1, "asked": time.Now().Format(time.RFC3339)}, q)}), events
		}
		answer := wayAnswer(q)
		answers = append(answers, thing{"question": n + 1, "name": q["name"], "answer": answer, "at": time.Now().Format(time.RFC3339)})
		events = append(events, thing{"kind": "asked", "name": q["name"], "question": n + 1}, thing{"kind": "answered", "name": q["name"], "question": n + 1, "body": answer})
	}
	return nil, nil
}

// wayAnswer is what the person said whose pass is kept.
func wayAnswer(q thing) thing {
	said := map[string]thing{"flags": {"flags_mm": 100}, "near_flag": {"near_mm": 20.01}, "far_flag": {"leftover_mm": 20.21}, "mark": {"mark_mm": 120}, "leftover": {"leftover_mm": 20.2},
		"lengths": {"leftover_mm": 86.73}, "strand": {"strand": "smooth"}, "cut_piece": {"piece_mm": 99.8}}
	if answer := said[q["figure"].(string)]; answer != nil {
		return answer
	}
	return thing{"yes": true}
}

// fittedWith is a printer that is listened to, cold or hot, whose drive is this.
func fittedWith(drive string, c, target float64) thing {
	setup := thing{"version": 1, "drive": drive, "switch": "back, left", "liner": "all_metal", "nozzle_max_c": 280, "filament_diameter_mm": 1.75}
	if drive == "bowden" {
		setup["tube"] = thing{"bore_mm": 2, "length_mm": 600, "quarter_turns": 3, "coupler_play_mm": 0.5}
	}
	return thing{"nozzle": thing{"c": c, "target_c": target, "age_s": 1, "outdated": false}, "setup": setup}
}

// wayStates are the ways to measure a feed, from how one is chosen to what it leaves.
func wayStates(l *look) []playedState {
	ways, r := waysKept(l), feed.Check()
	routine := func() thing {
		return thing{"/v1/routines": thing{"routines": []thing{{"name": r.Name, "title": r.Title, "program": r.Program, "fields": r.Inputs}}}}
	}
	asked := func(method, figure, head, typed string) playedState {
		run, events := ways[method].asking(figure)
		drive := map[bool]string{true: "bowden", false: "direct"}[method == "tube_end"]
		s := playedState{name: "way " + method + " " + figure, hash: "#/runs/r1", head: head, whole: true, run: run, events: events, printer: fittedWith(drive, 209.6, 210)}
		if figure == "path" || figure == "coupler" || figure == "cut" || figure == "cut_piece" {
			s.printer = fittedWith(drive, 43.2, 0)
		}
		if typed != "" {
			s.then = func(l *look) {
				l.phone.keys(typed)
				l.phone.until(`document.querySelector('input.number')?.value === ` + quote(typed))
				l.at("played "+s.name+" typed", headed(head), true)
			}
		}
		return s
	}
	states := []playedState{
		{name: "way begin", hash: "#/begin/window", head: "Is Plum PLA loaded?", whole: true, printer: fittedWith("direct", 24.1, 0), answers: routine(), then: chosenWay},
		{name: "way begin bowden", hash: "#/begin/window", head: "Is Plum PLA loaded?", whole: true, printer: fittedWith("bowden", 24.1, 0), answers: over(routine(), thing{"/v1/runs": coarse()}), then: refusedWay},
		asked("two_flags", "flags", "Set two flags", "100.04"), asked("two_flags", "near_flag", "How far above the inlet is the near flag", "19.98"), asked("two_flags", "far_flag", "How far above the inlet is the far flag", "20.22"),
		asked("several_lengths", "lengths", "33.33", "86.7"), asked("several_lengths", "enough", "Not yet as sure", ""),
		asked("cold", "path", "Is the path below the gear open?", ""),
		asked("tube_end", "unload", "Pull the filament back", ""), asked("tube_end", "coupler", "Undo the coupler", ""), asked("tube_end", "cut", "Cut the filament flush", ""), asked("tube_end", "cut_piece", "Cut it flush once more", "99.8"),
		{name: "way cooling", hash: "#/runs/r1", head: "Cooling to below 50", printer: fittedWith("bowden", 96.4, 0), run: wayRun("tube_end", thing{"answers": []thing{{"question": 1, "name": "unload", "answer": thing{"pulled_back": true}, "at": time.Now().Format(time.RFC3339)}}, "doing": thing{"what": "cooling", "target_c": 50}})},
		{name: "way bringing out", hash: "#/runs/r1", head: "Bringing the filament out.", printer: fittedWith("bowden", 43.2, 0), run: wayRun("tube_end", thing{"answers": []thing{{"question": 1, "name": "coupler", "answer": thing{"undone": true}, "at": time.Now().Format(time.RFC3339)}}, "doing": thing{"what": "feeding", "fed_mm": 41.5, "of_mm": 96}})},
		{name: "way feeding a length", hash: "#/runs/r1", head: "Feeding length 1.", printer: fittedWith("direct", 209.6, 210), run: wayRun("several_lengths", thing{"answers": []thing{{"question": 1, "name": "mark 1", "answer": thing{"mark_mm": 120}, "at": time.Now().Format(time.RFC3339)}}, "doing": thing{"what": "feeding", "fed_mm": 12.3, "of_mm": 33.333333}})},
	}
	later, events := ways["several_lengths"].asking("lengths")
	later["question"] = over(thing{"number": 5, "asked": time.Now().Format(time.RFC3339)}, ways["several_lengths"].Questions[4])
	states = append(states, playedState{name: "way third length", hash: "#/runs/r1", head: "100", whole: true, run: later, events: events, printer: fittedWith("direct", 209.6, 210)})
	return append(states, waysFound(ways)...)
}

// coarse is a check of a cut piece that is ordered with a rule.
func coarse() thing {
	return thing{"problem": thing{"type": "about:blank", "title": "The inputs do not fit", "status": 422, "code": "bad_inputs", "detail": "",
		"errors": []thing{{"pointer": "/inputs/gauge", "detail": "is a rule, 0.5 mm divisions: a cut piece is measured with a caliper", "accept": "a caliper, or a gauge of divisions up to 0.1\u00a0mm"}}}}
}

// chosenWay says a gauge of one's own once, chooses a way, and finds the gauge again when the page is loaded anew.
func chosenWay(l *look) {
	p := l.phone
	p.tapNamed(".cell", "a gauge of your own")
	p.until(`document.querySelector('.action')?.textContent === 'Say how fine it is'`)
	p.tap(".action")
	l.at("played way own gauge", headed("How fine is your gauge?"), true)
	for name, digits := range map[string]string{"own_division_mm": "0.1", "own_limit_mm": "0.2"} {
		eval[bool](p.tab, `(() => { const e = document.getElementById('f-`+name+`'); e.value = `+quote(digits)+`; e.dispatchEvent(new Event('input')); return true; })()`)
	}
	p.tapNamed(".link", "Back")
	l.at("played way own gauge said", `document.querySelector('.links')?.textContent.includes('Your gauge: 0.1') ?? false`, true)
	p.tapNamed(".link", "Another way")
	l.at("played ways direct", headed("How do you measure it?")+` && document.querySelectorAll('.choice').length === 4 && document.querySelector('.choices').textContent.includes('No heat')`, true)
	eval[bool](p.tab, `([...document.querySelectorAll('.choice')].find((e) => e.textContent.startsWith('Two flags')).click(), true)`)
	p.until(headed("Is Plum PLA loaded?") + ` && document.querySelector('.reason').textContent.endsWith('Two flags.')`)
	p.tapNamed(".link", "Length, passes, temperature")
	l.at("played way more", headed("How is it to be done?"), false)
}

// refusedWay is a way that the gauge is too coarse for: the refusal says so, and which would do.
func refusedWay(l *look) {
	p := l.phone
	p.tapNamed(".link", "Another way")
	l.at("played ways bowden", headed("How do you measure it?")+` && !document.querySelector('.choices').textContent.includes('No heat')`, true)
	eval[bool](p.tab, `([...document.querySelectorAll('.choice')].find((e) => e.textContent.startsWith('A piece')).click(), true)`)
	p.untilHead("Is Plum PLA loaded?")
	l.excused = "422"
	p.tap(".action")
	p.until(`document.querySelector('.trouble')?.textContent.includes('measured with a caliper') ?? false`)
	l.at("played way refused", `document.querySelector('.trouble') !== null`, false)
}

// waysFound are findings of the ways, their budget as numbers, and how several lengths lie.
func waysFound(ways map[string]wayKept) []playedState {
	row := func(name string, u float64, common bool) thing {
		return thing{"name": name, "type": "B", "distribution": "rectangular", "limit": u * 1.73, "u": u, "unit": "mm", "common": common}
	}
	rows := []thing{row("readings, through the line", 0.213, false), row("scatter about the line", 0.108, false), row("limit of the instrument", 0.017, true), row("seat at the inlet", 0.012, true)}
	finding := thing{"kind": "leave", "headline": "Leave it at 93.00", "reason": "99.80 ± 0.50 mm of 100 mm went in: within 1 %, even with all that the measurement may be off.", "notes": ways["several_lengths"].Notes, "budget": rows,
		"values": []thing{{"name": "fed_mm", "unit": "mm", "value": 99.8, "u95": 0.5}, {"name": "error_percent", "unit": "%", "value": -0.2, "u95": 0.5}, {"name": "coverage_factor", "unit": "1", "value": 2.08}, {"name": "measured_with_steps_per_mm", "unit": "steps/mm", "value": 93}}}
	run := wayRun("several_lengths", thing{"state": "finished", "finding": finding})
	events := []thing{{"kind": "run ended", "name": "finished"}}
	lying := func(name, head string, line thing) playedState {
		pass := over(thing{}, ways["several_lengths"].Pass)
		blocks := []thing{}
		for i := range 5 {
			blocks = append(blocks, thing{"commanded_mm": 20 * (i + 1), "leftover_mm": 120 - 19.96*float64(i+1)})
		}
		entry := thing{"kind": "feed_pass", "value": 99.8, "unit": "mm", "u95": 0.5, "body": over(pass, thing{"blocks": blocks, "line": over(thing{"fed_mm": 99.8, "offset_mm": 0.31, "offset_sd_mm": 0.1, "birge_ratio": 1.2}, line)})}
		return playedState{name: "way " + name, hash: "#/runs/r1/lengths", head: head, run: run, events: events, answers: entriesOf([]thing{entry})}
	}
	found := playedState{name: "way found", hash: "#/runs/r1", head: "Leave it at 93.00", whole: true, run: run, events: events, then: func(l *look) {
		p := l.phone
		p.tapNamed(".link", "What the ± is made of")
		p.until(`document.querySelectorAll('table.numbers tbody th[scope=row]').length === 5`)
		l.at("played way budget", headed("Most of the ± is the readings"), false)
		if said := eval[string](p.tab, `document.querySelector('.fact').textContent`); !strings.Contains(said, "2.08 times") {
			l.Errorf("the factor is not named: %q", said)
		}
		p.turn("#/runs/r1")
		p.tapNamed(".link", "Two flags would give ±\u00a00.22\u00a0%")
		p.until(`location.hash === '#/begin/window'`)
	}}
	stopped := playedState{name: "way stopped", hash: "#/runs/r1", head: "The check was stopped.", whole: true, events: append(events[:0:0], thing{"kind": "run ended", "name": "stopped", "who": "Ana"}), printer: fittedWith("bowden", 43.2, 0),
		run: wayRun("tube_end", thing{"state": "stopped", "answers": []thing{{"question": 5, "name": "piece 1", "answer": thing{"piece_mm": 99.8}, "at": time.Now().Format(time.RFC3339)}}})}
	return []playedState{found, stopped, lying("lengths straight", "The lengths lie on a line.", thing{"off_mm": []float64{0.06, -0.11, 0.02, 0.07, -0.04}}),
		lying("lengths stray", "One reading lies off the line.", thing{"off_mm": []float64{-0.12, -0.18, 0.71, -0.24, -0.17}, "strays": []float64{60}, "birge_ratio": 2.6}),
		lying("lengths curved", "The readings bend away from a line.", thing{"off_mm": []float64{-0.42, 0.22, 0.45, 0.18, -0.43}, "curved": true, "birge_ratio": 2.9})}
}
