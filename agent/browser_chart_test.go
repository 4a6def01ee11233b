package main

import (
	"fmt"
	"math"
	"time"
)

// readWidths are ten readings of a spool, each place one way and then a quarter turn on; invented.
var readWidths = [...]float64{1.74, 1.75, 1.73, 1.75, 1.74, 1.74, 1.76, 1.74, 1.75, 1.74}

// widthAsked is the question for reading n of ten.
func widthAsked(n int, more thing) thing {
	place, square := (n+1)/2, n%2 == 0
	text := fmt.Sprintf("Place %d of 5: how wide is it?", place)
	if square {
		text = fmt.Sprintf("Place %d of 5, a quarter turn on: how wide?", place)
	}
	return over(thing{"number": n, "name": fmt.Sprintf("reading %d", n), "figure": "across", "text": text, "reason": "Half a metre on from the last place; close the jaws on the filament alone.", "asked": time.Now().Format(time.RFC3339), "warning": []string{},
		"fields":  []thing{{"name": "across_mm", "label": "Across the filament", "kind": "number", "unit": "mm", "min": 0.875, "max": 3.15, "step": 0.01, "out_of": "no filament for this printer is so far from 1.75 mm: read it in millimetres, with the jaws on the filament alone"}},
		"derived": thing{"name": "wide_mm", "unit": "mm", "a": 0, "b": 1, "u95": 0.024, "unlikely": []float64{1.64, 1.84}},
		"shown":   thing{"reading": n, "readings": 10, "place": place, "places": 5, "square": square, "along_mm": 500 * (place - 1), "read_mm": readWidths[:n-1], "nominal_mm": 1.75, "gauge": "digital_caliper"}}, more)
}

// widthRun is a run that has come as far as n readings.
func widthRun(n int, more thing) thing {
	answers := []thing{}
	for i := range n {
		answers = append(answers, thing{"question": i + 1, "name": fmt.Sprintf("reading %d", i+1), "answer": thing{"across_mm": readWidths[i]}, "at": time.Now().Format(time.RFC3339)})
	}
	return over(thing{"id": "r1", "printer": "window", "material": "plum-pla", "routine": "filament_diameter", "state": "asking", "inputs": thing{"readings": 10, "gauge": "digital_caliper"}, "answers": answers, "begun": time.Now().Format(time.RFC3339), "last_seq": 10 + n}, more)
}

// widthEvents are its facts.
func widthEvents(n int) []thing {
	events := []thing{}
	for i := range n {
		events = append(events, thing{"kind": "answered", "question": i + 1, "name": fmt.Sprintf("reading %d", i+1), "body": thing{"across_mm": readWidths[i]}})
	}
	return events
}

func widthRoutine() thing {
	choices := []thing{{"value": "vernier_caliper", "label": "caliper, 0.05 mm"}, {"value": "caliper", "label": "caliper, 0.02 mm"}, {"value": "digital_caliper", "label": "caliper, 0.01 mm"}, {"value": "own", "label": "your own"}}
	number := func(name, label string) thing {
		return thing{"name": name, "label": label, "kind": "number", "unit": "mm", "optional": true, "min": 0.001, "max": 0.5}
	}
	fields := []thing{{"name": "gauge", "label": "Read with", "kind": "choice", "choices": choices, "default": "digital_caliper"}, {"name": "readings", "label": "Readings", "kind": "number", "min": 4, "max": 20, "step": 2, "default": 10},
		number("own_division_mm", "Its division"), number("own_limit_mm", "Its limit"), {"name": "spool", "label": "What stands on the spool", "kind": "text", "optional": true}}
	return thing{"/v1/routines": thing{"routines": []thing{{"name": "filament_diameter", "title": "Filament diameter", "program": "filament_diameter 1", "fields": fields}}}}
}

// chartStates are a diameter from its beginning to what it finds, and how the feed drifts.
func chartStates() []playedState {
	ask := func(n int) thing { return widthRun(n-1, thing{"question": widthAsked(n, nil)}) }
	begin := playedState{name: "begin diameter", hash: "#/begin/window/filament_diameter", head: "Is Plum PLA at hand?", whole: true, answers: widthRoutine(), then: func(l *look) {
		l.phone.tapNamed(".cell", "your own")
		l.phone.until(`document.querySelector('.action').textContent.includes('Say how fine')`)
		l.phone.tap(".action")
		l.at("played begin diameter, own gauge", headed("What do you read it with?"), true)
	}}
	first := playedState{name: "across", hash: "#/runs/r1", head: "Place 1 of 5: how wide is it?", whole: true, run: ask(1), answers: thing{"/v1/runs/r1/answers": ask(2)}, then: typedByCaliper}
	return append([]playedState{begin, first,
		{name: "across turned", hash: "#/runs/r1", head: "Place 4 of 5, a quarter turn on", whole: true, run: ask(8), events: widthEvents(7), then: func(l *look) {
			l.phone.keys("1.52")
			l.at("played across unlikely", `document.querySelector('.action').textContent.includes('anyway')`, true)
		}},
		{name: "across again", hash: "#/runs/r1", head: "Place 2 of 5 again", whole: true, events: widthEvents(10), run: widthRun(10, thing{"question": widthAsked(3, thing{"number": 11, "name": "reading 3, again", "text": "Place 2 of 5 again: how wide is it?",
			"reason": "It was 1.52 mm, far from all others.", "warning": []string{"This filament is soft: close the jaws until they touch, and no further."}, "shown": thing{"reading": 3, "readings": 10, "place": 2, "places": 5, "square": false, "along_mm": 500, "read_mm": readWidths, "nominal_mm": 1.75, "gauge": "digital_caliper", "again": true, "first_mm": 1.52}})})},
	}, append(widthFound(), driftStates()...)...)
}

// typedByCaliper types as a caliper does: digits, point and Enter, with nothing touched before; the next question follows.
func typedByCaliper(l *look) {
	l.phone.keys("1.74")
	l.at("played across typed", `document.querySelector('.readout input').value === '1.74'`, true)
	l.phone.keys("\r")
	l.phone.until(headed("Place 1 of 5, a quarter turn on") + ` && document.querySelector('.readout input').value === ''`)
	l.phone.keys("1.75")
	l.phone.until(`document.querySelector('.readout input').value === '1.75'`)
}

// widthFound are what a diameter ends with.
func widthFound() []playedState {
	rows := []thing{}
	for name, u := range map[string]float64{"reading": 0.0009, "limit of the instrument": 0.0115, "scatter of the places": 0.0012} {
		rows = append(rows, thing{"name": name, "type": "B", "distribution": "rectangular", "limit": u * math.Sqrt(3), "u": u, "unit": "mm", "common": name == "limit of the instrument"})
	}
	end := func(kind, headline, reason, note string, mean, u95 float64, read func(i int, mm float64) float64) playedState {
		values := []thing{{"name": "filament_diameter_mm", "unit": "mm", "value": mean, "u95": u95}, {"name": "spread_mm", "unit": "mm", "value": 0.01}, {"name": "oval_mm", "unit": "mm", "value": 0.009}, {"name": "section_mm2", "unit": "mm²", "value": math.Pi / 4 * mean * mean, "u95": 0.03}}
		run := widthRun(10, thing{"state": "finished", "finding": thing{"kind": kind, "headline": headline, "reason": reason, "values": values, "budget": rows, "notes": []string{note}}})
		for i, a := range run["answers"].([]thing) {
			a["answer"] = thing{"across_mm": math.Round(100*read(i, readWidths[i])) / 100}
		}
		return playedState{name: "width " + kind, hash: "#/runs/r1", head: headline, whole: true, events: append(widthEvents(10), thing{"kind": "run ended", "name": "finished"}),
			run: run, printer: thing{"setup": thing{"version": 1, "drive": "direct", "switch": "back, left", "liner": "all_metal", "nozzle_max_c": 280, "filament_diameter_mm": 1.75}}}
	}
	as := func(_ int, mm float64) float64 { return mm }
	found := end("diameter", "The filament is 1.744 mm", "Its section is 0.7 % less than that of 1.75 mm.", "What is printed from now on is reckoned with it, until the spool is changed.", 1.744, 0.0234, as)
	found.then = func(l *look) {
		l.phone.tapNamed(".link", "Readings")
		l.at("played readings", headed("What was read, place by place."), false)
		if rows := eval[int](l.phone.tab, `document.querySelectorAll('table caption, table tbody th[scope=row]').length`); rows != 7 {
			l.Errorf("caption and named rows of the readings: %d, want 1 and 6", rows)
		}
	}
	return []playedState{found, end("uneven", "This spool is uneven", "Its places differ by 0.14 mm; more than 0.1 mm is not usable.", "Take another spool, or print what need not fit.", 1.744, 0.061, func(i int, mm float64) float64 { return mm + 0.07*math.Cos(2*float64(i)) }),
		end("wrong_size", "This is filament of 2.85 mm", "The setup says 1.75 mm.", "Nothing is put into the docket. Is the spool the right one, or the setup?", 2.854, 0.0234, func(_ int, mm float64) float64 { return mm + 1.11 })}
}

// tenPresses measures a spool for real: one tap begins, and then nothing is touched while a caliper types each reading
// and Enter. What the readings come to is computed here as well, and the docket's row leads to it.
func tenPresses(l *look) {
	p := l.phone
	p.visitPage("/#/begin/window/filament_diameter/plum-pla")
	p.untilHead("Is Plum PLA at hand?")
	p.tap(".action")
	var sum float64
	for i, mm := range readWidths {
		head := fmt.Sprintf("Place %d of 5: how wide is it?", i/2+1)
		if i%2 == 1 {
			head = fmt.Sprintf("Place %d of 5, a quarter turn on: how wide?", i/2+1)
		}
		p.until(headed(head) + ` && document.querySelector('.readout input').value === ''`)
		p.keys(fmt.Sprintf("%.2f\r", mm))
		sum += mm
	}
	l.at("measured for real", headed(fmt.Sprintf("The filament is %.3f", sum/float64(len(readWidths)))), true)
	p.turn("#/dockets/window/plum-pla/filament_diameter_mm")
	p.until(`[...document.querySelectorAll('.link')].some((e) => e.textContent === 'Measure it')`)
	p.turn("#/drift/window")
	p.untilHead("Nothing was checked on this setup.")
}
