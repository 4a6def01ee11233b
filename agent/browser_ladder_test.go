package main

import (
	"fmt"
	"strings"
	"time"
)

// drawnPiece is a piece as the agent draws it: posts of 6 mm, gaps of 6, 9, 14 and 22, eight bands of 3 mm.
func drawnPiece() thing {
	stand := func(at, wide float64) thing { return thing{"at_mm": at, "wide_mm": wide} }
	posts, gaps, at := []thing{stand(17, 6)}, []thing{}, 23.0
	for _, wide := range []float64{6, 9, 14, 22} {
		gaps = append(gaps, stand(at, wide))
		posts = append(posts, stand(at+wide, 6))
		at += wide + 6
	}
	bands := make([]thing, 8)
	for i := range bands {
		from := 0.3 + 3*float64(i)
		bands[i] = thing{"letter": "ABCDEFGH"[i : i+1], "from_mm": from, "to_mm": from + 3, "judge_mm": from + 0.75, "dots": i + 1}
	}
	return thing{"long_mm": at + 17, "high_mm": 24.3, "foot_mm": 0.3, "posts": posts, "gaps": gaps, "blocks": []thing{stand(3, 11), stand(at+3, 11)}, "bands": bands, "arrow_at_mm": 1.5}
}

// pieceAsked is the question before a piece.
func pieceAsked() thing {
	held := []thing{{"label": "Nozzle", "value": 210, "unit": "°C"}, {"label": "Bed", "value": 60, "unit": "°C"}, {"label": "Speed of printing", "value": 40, "unit": "mm/s"},
		{"label": "Retract speed", "value": 30, "unit": "mm/s"}, {"label": "Fan", "value": 100, "unit": "%"}, {"label": "Line width", "value": 0.45, "unit": "mm"}, {"label": "Travel", "value": 200, "unit": "mm/s"}}
	return thing{"number": 3, "name": "piece 2", "figure": "piece", "text": "Print piece 2?", "reason": "Between 0.5 and 1.95 mm, in steps of 0.2.", "asked": time.Now().Format(time.RFC3339),
		"warning": []string{"Warning. Is the bed empty, and the last piece off? Homing into it breaks things.", "Caution. Axes free, cable and filament clear? It homes first, and then prints for about 19 minutes. Stay with it."},
		"fields":  []thing{{"name": "next", "kind": "choice", "label": "Next", "choices": []thing{{"value": "print", "label": "The bed is empty: print it"}, {"value": "later", "label": "Later"}}}},
		"shown":   thing{"ladder": "length", "piece": 2, "confirming": false, "drawing": drawnPiece(), "low": 0.5, "high": 1.95, "unit": "mm", "prints_left": 2.3, "minutes": 18.6, "filament_m": 2.21, "bands": 8, "held": held}}
}

// gradesAsked asks for each band of a piece.
func gradesAsked() thing {
	five := []thing{}
	for _, g := range []string{"clean", "hairs", "threads", "strings", "web"} {
		five = append(five, thing{"value": g, "label": g})
	}
	var fields []thing
	for _, x := range "abcdefgh" {
		fields = append(fields, thing{"name": fmt.Sprintf("%c_grade", x), "kind": "choice", "label": "Band", "choices": append([]thing{{"value": "not_judged", "label": "Cannot be judged"}}, five...)})
		for _, gap := range []int{6, 9, 14, 22} {
			fields = append(fields, thing{"name": fmt.Sprintf("%c_gap_%d_mm", x, gap), "kind": "choice", "label": "Gap", "optional": true, "choices": five})
		}
		fields = append(fields, thing{"name": fmt.Sprintf("%c_voids", x), "kind": "yes", "label": "Voids", "default": false})
	}
	for name, label := range map[string]string{"clicking": "The drive clicked", "ground": "The filament was ground", "clogged": "The nozzle clogged"} {
		fields = append(fields, thing{"name": name, "kind": "yes", "label": label, "default": false})
	}
	spoilers := []thing{{"value": "none", "label": "Nothing"}, {"value": "layers_shifted", "label": "Layers shifted"}, {"value": "post_fell", "label": "A post fell"}, {"value": "came_loose", "label": "It came loose"}, {"value": "stopped_early", "label": "It stopped early"}}
	letters := []thing{}
	for i := range 8 {
		letters = append(letters, thing{"value": "abcdefgh"[i : i+1], "label": "ABCDEFGH"[i : i+1]})
	}
	fields = append(fields, thing{"name": "spoiled", "kind": "choice", "label": "What spoiled it", "default": "none", "choices": spoilers}, thing{"name": "spoiled_from", "kind": "choice", "label": "From band", "optional": true, "choices": letters})
	return thing{"number": 4, "name": "grades 2", "figure": "grades", "text": "How does each band look?", "reason": "Dark cloth behind, lamp from the side, from A at the foot. What each was printed with is shown when all are graded.",
		"asked": time.Now().Format(time.RFC3339), "fields": fields, "shown": thing{"ladder": "length", "piece": 2, "drawing": drawnPiece(), "whole_bands": 8}}
}

// ladderStates are a ladder from its beginning to what it finds.
func ladderStates() []playedState {
	hot := thing{"nozzle": thing{"c": 209.6, "target_c": 210, "age_s": 1, "outdated": false}, "bed": thing{"c": 48.2, "target_c": 60, "age_s": 1, "outdated": false}}
	asked := []thing{{"kind": "asked", "name": "piece 2", "question": 3, "body": thing{"shown": pieceAsked()["shown"]}}, {"kind": "answered", "name": "piece 2", "question": 3, "body": thing{"next": "print"}}}
	at := func(part string) []thing {
		return append(append([]thing{}, asked...), thing{"kind": "begun", "name": "piece 2 " + part})
	}
	run := func(over_ thing) thing { return over(thing{"routine": "retraction_ladder", "inputs": thing{}}, over_) }
	piece, grades := run(thing{"state": "asking", "question": pieceAsked()}), run(thing{"state": "asking", "question": gradesAsked()})
	sending := func(lines, of int) thing {
		return run(thing{"doing": thing{"what": "streaming", "lines": lines, "of_lines": of, "left_s": 70}})
	}
	return append([]playedState{
		{name: "begin retraction ladder", hash: "#/begin/window/retraction_ladder", head: "Is Plum PLA loaded?", whole: true, answers: over(ladderAnswers(), thing{"/v1/runs": refusedRun()}), then: refused},
		{name: "next piece", hash: "#/runs/r1", head: "Print piece 2?", whole: true, run: piece},
		{name: "heating the bed", hash: "#/runs/r1", head: "Heating the bed.", printer: hot, run: run(thing{"doing": thing{"what": "heating the bed", "target_c": 60}})},
		{name: "printing the foot", hash: "#/runs/r1", head: "Printing piece 2.", printer: hot, run: sending(10, 90), events: at("foot")},
		{name: "printing a band", hash: "#/runs/r1", head: "Printing piece 2.", printer: hot, run: sending(412, 700), events: at("band C")},
		{name: "judging", hash: "#/runs/r1", head: "How is band A?", whole: true, run: grades, then: judging},
	}, foundLadders()...)
}

// refused is a ladder that is not begun as it was ordered: the switch is offered then, and not before.
func refused(l *look) {
	p := l.phone
	if eval[bool](p.tab, `document.querySelector('main').textContent.includes('fresh feed check')`) {
		l.Error("the override is offered before anything was refused")
	}
	l.excused = "422"
	p.tap(".action")
	p.until(`document.querySelector('.reason').textContent.startsWith('The feed check is stale: new gear since then.')`)
	l.at("played begin ladder, refused", `document.querySelector('.field .cell') !== null`, true)
	p.turn("#/begin/window/travel_ladder")
	p.tapNamed(".link", "Speed, temperatures, fan")
	l.at("played begin ladder, more", headed("How is it to be done?"), false)
}

// judging gives a grade to each band by touch and by key, keeps what is half given over a reload, and records the rest.
func judging(l *look) {
	p := l.phone
	said := func(letter string) string {
		return `[...document.querySelectorAll('.stage .pick')].some((e) => e.getAttribute('aria-label').startsWith('Band ` + letter + `, 6 mm gap, '))`
	}
	grade := func(words string) string {
		return `[...document.querySelectorAll('.stage .pick')].some((e) => e.getAttribute('aria-label') === ` + quote(words) + `)`
	}
	p.tapNamed(".grades .cell", "stringsbend before they break")
	p.until(grade("Band A, 22 mm gap, strings"))
	p.tapNamed(".stage .pick", "Band A, 6 mm gap, strings")
	p.until(headed("Band A, the 6"))
	p.keys("1")
	p.until(grade("Band A, 6 mm gap, hairs"))
	l.at("played judging a gap", headed("Band A, the 6"), true)
	p.visitPage("/#/runs/r1")
	p.until(grade("Band A, 6 mm gap, hairs") + " && " + grade("Band A, 22 mm gap, strings"))
	p.tapNamed(".stage .pick", "Band B, 9 mm gap, no grade yet")
	p.untilHead("How is band B?")
	for _, digit := range "2211100" {
		head := p.head()
		p.keys(string(digit) + "\r")
		p.untilOther(head)
	}
	l.at("played judged whole", headed("And the piece as a whole?"), true)
	p.tapNamed(".cell", "A post fell")
	p.until(`document.querySelector('.four') !== null`)
	p.tapNamed(".four .cell", "G")
	l.at("played judged and spoiled", headed("And the piece as a whole?"), true)
	p.tapNamed(".link", "Back to the bands")
	p.until(said("H") + " && " + grade("Band H, 6 mm gap, not judged"))
	l.at("played all bands judged", `document.querySelector('.grades') !== null`, true)
}

func ladderAnswers() thing {
	number := func(name, label, unit string, usual any) thing {
		return thing{"name": name, "label": label, "kind": "number", "unit": unit, "default": usual}
	}
	yes := func(name, label string) thing {
		return thing{"name": name, "label": label, "kind": "yes", "default": false}
	}
	fields := []thing{number("print_mm_per_s", "Speed of printing", "mm/s", 40), number("nozzle_c", "Nozzle temperature", "°C", nil), number("bed_c", "Bed temperature", "°C", nil), number("fan_percent", "Part fan", "%", 100),
		yes("without_feed_check", "Go on without a fresh feed check"), yes("damp_anyway", "Go on although the strand popped"), yes("afresh", "Forget the pieces judged before")}
	for _, f := range fields {
		if f["default"] == nil {
			delete(f, "default")
		}
	}
	return thing{"/v1/routines": thing{"routines": []thing{{"name": "travel_ladder", "title": "Travel ladder", "program": "travel_ladder 1", "fields": fields}, {"name": "retraction_ladder", "title": "Retraction ladder", "program": "retraction_ladder 1", "fields": fields}}}}
}

func refusedRun() thing {
	return thing{"problem": thing{"type": "about:blank", "title": "The inputs do not fit", "status": 422, "code": "bad_inputs", "detail": "",
		"errors": []thing{{"pointer": "/inputs/without_feed_check", "detail": "is not given, and the feed check is stale: new gear since then", "accept": "a feed check first, or true"}}}}
}

// foundLadders are what ladders end with.
func foundLadders() []playedState {
	value := func(name, unit string, v float64) thing { return thing{"name": name, "unit": unit, "value": v} }
	var bands []thing
	for i, grade := range []int{4, 3, 2, 1, 1, 1, 1, 0} {
		bands = append(bands, thing{"letter": "ABCDEFGH"[i : i+1], "value": 0.25 * float64(i+1), "grade": grade, "gaps": []thing{{"mm": 6, "grade": max(0, grade-1)}}})
	}
	entries := thing{"/v1/logbook": thing{"entries": []thing{{"id": 61, "seq": 5, "run": "r1", "printer": "window", "material": "plum-pla", "kind": "grades", "wall_ms": time.Now().UnixMilli(), "body": thing{"ladder": "length", "piece": 1, "bands": bands}}}}}
	events := []thing{{"kind": "asked", "name": "grades 1", "question": 4, "body": thing{"shown": thing{"drawing": drawnPiece()}}}, {"kind": "answered", "name": "grades 1", "question": 4, "body": thing{}}, {"kind": "run ended", "name": "finished"}}
	end := func(kind, headline, reason, note string, values ...thing) playedState {
		return playedState{name: "ladder " + strings.ReplaceAll(kind, "_", " "), hash: "#/runs/r1", head: headline, whole: true, events: events, answers: entries, run: thing{"routine": "retraction_ladder", "state": "finished", "inputs": thing{},
			"finding": thing{"kind": kind, "headline": headline, "reason": reason, "notes": []string{note}, "values": append(values, value("pieces", "1", 2))}}}
	}
	found := end("found", "Retract 1 mm", "From here on no gap shows more than hairs; shorter lets threads through.", "It holds at 210 °C, 4.5 mm³/s, travel 200 mm/s, strokes of 30 and 30 mm/s, fan 100 %.", value("retraction_length_mm", "mm", 1), value("from_mm", "mm", 0.8), value("to_mm", "mm", 1.1))
	found.then = func(l *look) {
		l.phone.tapNamed(".link", "Piece 1, judged")
		l.at("played piece with its values", headed("Piece 1, as it was judged.")+` && document.querySelector('.stage').textContent.includes('1.25')`, true)
	}
	return []playedState{found,
		end("later", "To be continued", "It goes on from here.", "The next run of this ladder goes on from here, on any phone."),
		end("none", "No length serves", "Where strings are gone there are voids.", "Where strings are gone there are voids at the restarts. Restart faster or print slower, or 5 to 10 °C cooler; then this ladder again."),
		end("damp", "No length serves: damp, or too hot", "They stop thinning from 0.75 mm on.", "Strings stay whatever the length. Dry the filament, or go 5 to 10 °C cooler within the maker's data sheet; then this ladder again."),
		end("not_reached", "Not reached below the ceiling", "They still thin out at 2 mm.", "Strings still thin out at the longest length. Print slower or cooler, clip loose couplers; or lift the ceiling yourself, watching for clicks."),
		end("hot_end", "Mend the hot end first", "The drive clicked.", "Ground filament, clicking or a clog point at the hot end and the drive, not at the length. Clean the nozzle and the gear; look at the idler."),
		end("cannot_tell", "The grades do not agree", "Longer looked worse, and shorter better.", "Grade in better light, with dark cloth behind, or let one person grade all pieces; then begin afresh."),
	}
}
