package main

import (
	"strings"

	"fettle/routines/runner"
)

// climbLimit is the flow at which the stand-in's filament has lost 2 % by its own equation, mm³/s at 210 °C.
const climbLimit = 7

// climbedByTouch goes from the printer's page through a whole climb to the flow limit, by a finger alone, to its numbers and
// the docket that keeps the working value.
func climbedByTouch(l *look) {
	p, s := l.phone, l.site
	p.visitPage("/")
	p.tapNamed(".link", "Flow limit")
	p.untilHead("Is Plum PLA loaded?")
	p.tapNamed(".link", "Gauge, block, fastest flow")
	p.tapNamed(".cell", caliper)
	p.tap(".action")
	p.until(`location.hash === '#/runs/r1'`)
	blocks := 0
	v := s.walk(p, "r1", func(v runner.RunView) *phone {
		if strings.HasPrefix(v.Question.Name, "leftover") {
			if blocks++; blocks == 3 {
				p.until(`[...document.querySelectorAll('.past b')].some((e) => e.textContent.endsWith('%'))`)
			}
		}
		if v.Question.Figure == "hands_away" && blocks == 3 {
			l.at("climb hands away", `document.querySelector('.small-curve') !== null && `+headed(v.Question.Text), true)
		}
		return p
	})
	if v.State != runner.Finished || v.Finding == nil || v.Finding.Kind != "found" {
		l.Fatalf("the climb is %s %s with %+v", v.State, v.Cause, v.Finding)
	}
	low, _ := value(v, "from_mm3_per_s")
	high, _ := value(v, "to_mm3_per_s")
	if climbLimit < low || climbLimit > high {
		l.Errorf("it falls between %g and %g, and truly at %d mm³/s", low, high, climbLimit)
	}
	l.at("climb found", headed(v.Finding.Headline+".")+` && document.querySelector('.stage').textContent.includes('% fed')`, true)
	p.tapNamed(".link", "The numbers")
	l.at("climb numbers", `document.querySelectorAll('table th[scope=row]').length >= 5`, false)
	p.tapNamed(".foot .link", "Back to the finding")
	p.untilHead(v.Finding.Headline + ".")
	p.tap(".action")
	fresh := `[...document.querySelectorAll('.docket li')].some((e) => e.querySelector('.name')?.textContent === 'Flow limit' && e.textContent.includes('Fresh'))`
	p.until(fresh)
}
