package main

import (
	"math"
	"time"
)

// driftOf are n checks a week apart, the last of them yesterday; off is how far each lies from 433 steps/mm. Invented.
func driftOf(n int, off func(i int) float64, more thing) thing {
	checks, begin, average := []thing{}, time.Now().Add(-time.Duration(7*(n-1)+1)*24*time.Hour), 0.0
	for i := range n {
		average += 0.3 * (off(i) - average)
		k := thing{"entry": 40 + i, "run": "r1", "at": begin.Add(time.Duration(7*i) * 24 * time.Hour).Format(time.RFC3339), "value": 433 + off(i), "u95": 1.9, "finding": "leave", "material": "plum-pla", "method": "inlet", "gauge": "digital_caliper", "ewma": 433 + average, "stretch": 0}
		if n > 1 {
			over(k, thing{"low": 430.4, "high": 435.6, "ewma_low": 431.6, "ewma_high": 434.4})
		}
		checks = append(checks, k)
	}
	d := thing{"printer": "window", "setup_version": 3, "setups": []thing{{"version": 3, "checks": n}}, "unit": "steps/mm", "tolerance_percent": 1, "tolerance": 4.33, "checks": checks, "splices": []thing{}, "signals": []thing{}, "notes": []string{}, "why": "too few checks: three at least, on different days"}
	if n > 0 {
		d["centre"] = 433
	}
	return over(d, more)
}

func ruleSignal(rule, chart string, from, to int) thing {
	return thing{"rule": rule, "chart": chart, "from": from, "to": to, "side": "high"}
}

// driftStates are what the checks of a setup can say.
func driftStates() []playedState {
	wave := func(i int) float64 { return 1.3 * math.Sin(2.3*float64(i)) }
	soon := time.Now().Add(26 * 24 * time.Hour).Format(time.RFC3339)
	rate := func(perDay, u95 float64) thing { return thing{"per_day": perDay, "per_day_u95": u95} }
	setup3 := thing{"setup": thing{"version": 3, "drive": "direct", "switch": "back, left", "liner": "all_metal", "nozzle_max_c": 280, "filament_diameter_mm": 1.75}}
	at := func(name, head string, d thing, then func(l *look)) playedState {
		return playedState{name: name, hash: "#/drift/window", head: head, printer: thing{"setup": setup3["setup"]}, answers: thing{"/v1/printers/window/drift": d}, then: then}
	}
	steady := driftOf(6, wave, over(rate(0.004, 0.031), thing{"again": soon, "why": "by then drift and its uncertainty may have used up the tolerance"}))
	climb := driftOf(24, func(i int) float64 { return 0.16*float64(i) - 2 + wave(i)/2 }, over(rate(0.023, 0.011), thing{"again": soon, "why": "it moves on by more than the checks' own ± explains", "signals": []thing{ruleSignal("the average is beyond its limit", "ewma", 20, 23), ruleSignal("it drifts: the checks go one way by more than the gauge explains", "trend", 0, 23)}}))
	last := func(i int) float64 {
		if i == 6 {
			return 5.6
		}
		return wave(i)
	}
	outside := driftOf(7, last, thing{"why": "the last check is out of what the others say", "signals": []thing{ruleSignal("one beyond the limit with its whole ±", "individuals", 6, 6)}})
	spliced := driftOf(8, func(i int) float64 { return wave(i) - 2*float64(1-i/4) }, over(rate(0.01, 0.05), thing{"setups": []thing{{"version": 2, "checks": 4}, {"version": 3, "checks": 8}}, "why": "the idler was changed: only the checks since then count",
		"splices": []thing{{"before": 4, "entry": 70, "what": "idler_tension", "text": "idler tension"}}, "untimed": 1, "unmeasured": 2, "notes": []string{"One check is left out: its clock was not set."}}))
	for i, k := range spliced["checks"].([]thing) {
		k["stretch"] = i / 4
		if i < 4 {
			over(k, thing{"low": 428.4, "high": 433.6})
		}
	}
	return []playedState{
		at("drift steady", "It stays where it was.", steady, namedCells),
		at("drift climbing", "It drifts by 0.023 steps/mm", climb, func(l *look) {
			eval[bool](l.phone.tab, `(document.querySelector('table').scrollIntoView(), true)`)
			l.at("played drift table", headed("It drifts by"), false)
		}),
		at("drift outside", "Check the feed again.", outside, func(l *look) {
			if n := eval[int](l.phone.tab, `document.querySelectorAll('.stage .frame').length`); n != 1 {
				l.Errorf("%d checks are framed, want the one whose whole ± is outside", n)
			}
		}),
		at("drift too few", "Too few checks to tell.", driftOf(1, wave, nil), nil),
		at("drift none", "Nothing was checked on this setup.", driftOf(0, wave, thing{"why": "nothing was checked since the gear was changed", "setups": []thing{{"version": 2, "checks": 9}, {"version": 3, "checks": 0}}}), func(l *look) { l.crossed() }),
		at("drift asked", "It stays where it was.", steady, func(l *look) {
			l.phone.tapNamed(".link", "Filament, tolerance")
			l.at("played drift which", headed("Which checks"), true)
		}),
		at("drift spliced", "It stays where it was.", spliced, nil),
		{name: "feed row with its day", hash: "#/dockets/window/plum-pla", head: "Plum PLA", answers: thing{"/v1/printers/window/dockets/plum-pla": dayInDocket(soon)}, then: func(l *look) {
			l.phone.until(`document.querySelector('.docket').textContent.includes('Check again by ')`)
			l.phone.turn("#/dockets/window/plum-pla/steps_per_mm")
			l.at("played feed value", `[...document.querySelectorAll('.link')].some((e) => e.textContent === 'How it drifts')`, false)
		}},
	}
}

// dayInDocket is a docket whose feed row has earned a day to check it again.
func dayInDocket(day string) thing {
	d := heldDocket()
	for _, r := range d["rows"].([]thing) {
		if r["kind"] == "steps_per_mm" {
			r["again_by"] = day
		}
	}
	return d
}

// namedCells holds the numbers beside the chart to a real table: a caption, heads with their scope, a named row for each.
func namedCells(l *look) {
	l.Helper()
	for selector, want := range map[string]int{"table caption": 1, "thead th[scope]": 6, "tbody": 6, "tbody th[scope=rowgroup]": 6, "tbody td": 30} {
		if got := eval[int](l.phone.tab, `document.querySelectorAll(`+quote(selector)+`).length`); got != want {
			l.Errorf("%q is there %d times, want %d", selector, got, want)
		}
	}
}
