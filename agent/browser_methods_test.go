package main

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"slices"
	"strings"
	"testing"

	"fettle/routines/runner"

	"github.com/chromedp/chromedp/kb"
)

// eachWayByTouch is all of the feed side by a finger on a phone of 390 by 844: each way to measure a feed from the start
// page to a written value, the filament across, the flow limit, and what the checks come to; and one way by keys alone.
func eachWayByTouch(t *testing.T, browser context.Context) {
	for _, w := range touched() {
		t.Run(w.method, func(t *testing.T) {
			t.Parallel()
			s := siteOf(t, browser, w.way)
			h := finger(s.paired(t, "Ana's phone"))
			h.visitPage("/")
			w.begin(h)
			s.foundBy(h, w)
			h.quiet()
		})
	}
	for name, test := range map[string]func(*testing.T, context.Context){"strand": strandByTouch, "keys": flagsByKeys} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			test(t, browser)
		})
	}
}

// touchedWay is a way with its words in the page.
type touchedWay struct {
	way
	named, told string // where it is chosen, and behind that
	cell        string // the gauge
	beyond      func(s *site, h hands)
}

func touched() []touchedWay {
	own := way{method: "cold", gauge: "own", inputs: map[string]any{"own_division_mm": 0.1, "own_limit_mm": 0.1}}
	return []touchedWay{
		{way: way{method: "two_flags", gauge: "digital_caliper"}, named: "Two flags", told: "Two flags.", cell: "caliper, 0.01 mm"},
		{way: way{method: "several_lengths", gauge: "vernier_caliper"}, named: "Several lengths", told: "one mark.", cell: "caliper, 0.05 mm", beyond: fiveLengths},
		{way: own, named: "Cold", told: "one pass.", cell: "a gauge of your own"},
		{way: way{method: "tube_end", gauge: "digital_caliper", tube: true}, named: "A piece cut", told: "A piece cut at the tube’s end.", cell: "caliper, 0.01 mm"},
	}
}

// begin goes from the start page into the run: which way, by which gauge.
func (w touchedWay) begin(h hands) {
	h.Helper()
	h.untilHead("The feed check is due.")
	h.press(".action", "")
	h.untilHead("Is Plum PLA loaded?")
	h.press(".link", "Another way")
	h.untilHead("How do you measure it?")
	h.press(".choice", w.named)
	h.untilHead("Is Plum PLA loaded?")
	h.until(`document.querySelector('.reason').textContent.endsWith(` + quote(w.told) + `)`)
	h.choose(w.cell)
	if w.inputs != nil {
		h.describe(w.inputs)
	}
	h.press(".action", "Begin with Plum PLA")
	h.until(`location.hash === '#/runs/r1'`)
}

// describe says how fine a gauge of one's own is. These are fields of the phone's own, with its own keys.
func (h hands) describe(inputs map[string]any) {
	h.Helper()
	h.press(".action", "Say how fine it is")
	h.untilHead("How fine is your gauge?")
	for name, is := range inputs {
		h.tap("#f-" + name)
		h.until(`document.activeElement.id === 'f-` + name + `'`)
		h.keys(fmt.Sprint(is))
		h.until(fmt.Sprintf(`document.getElementById('f-%s').value === '%v'`, name, is))
	}
}

// foundBy goes through a check to its written value, holds that to what the stand-in truly is, and looks at what stands
// behind the finding.
func (s *site) foundBy(h hands, w touchedWay) {
	s.Helper()
	v := s.through(h, "r1")
	s.endsAs(runner.Finished)
	next, truth := s.written(), w.printer().profile.TrueStepsPerMM
	s.Logf("%s: %.2f ± %.2f steps/mm, true are %.3f; %d questions", w.method, *next.Value, *next.U95, truth, len(v.Answers))
	if off := math.Abs(*next.Value - truth); off > *next.U95 {
		s.Errorf("%g off, and ± %g is stated", off, *next.U95)
	}
	if now := s.steps(); !strings.Contains(now, "E"+twoDecimals(*next.Value)) {
		s.Errorf("over the line the printer says %s, want E%s", now, twoDecimals(*next.Value))
	}
	if method := v.Inputs; !strings.Contains(string(mustJSON(s, method)), `"method":"`+w.method+`"`) {
		s.Errorf("it was begun with %s", mustJSON(s, method))
	}
	h.untilHead("Changed to " + twoDecimals(*next.Value) + ".")
	h.largestFirst(v)
	if w.beyond != nil {
		w.beyond(s, h)
	}
	h.press(".action", "Back to the printer")
	h.untilHead("The travel ladder is next.")
}

// largestFirst opens what the ± is made of: a row for each part and one for the whole, the largest first.
func (h hands) largestFirst(v runner.RunView) {
	h.Helper()
	h.press(".link", "What the ± is made of")
	rows := `[...document.querySelectorAll('table.budget tbody tr')]`
	h.until(fmt.Sprintf(rows+`.length === %d`, len(v.Finding.Budget)+1))
	largest := v.Finding.Budget[0]
	for _, row := range v.Finding.Budget {
		if row.U > largest.U {
			largest = row
		}
	}
	if first := eval[string](h.tab, rows+`[0].querySelector('th[scope=row]').textContent`); !strings.HasPrefix(strings.ToLower(first), strings.ToLower(largest.Name)) {
		h.Errorf("its first row is %q, and %q is the largest part", first, largest.Name)
	}
	h.untilHead("Most of the ± is the " + largest.Name + ".")
	h.press(".foot .link", "Back to the finding")
	h.until(headed("Changed to "))
}

// fiveLengths opens how the lengths lie about their line: drawn, and each as a row. On a short screen the link stands behind
// what the ± is made of.
func fiveLengths(s *site, h hands) {
	s.Helper()
	h.press(".link", "What the ± is made of")
	h.press(".foot .link", "How the lengths lie")
	h.until(`location.hash === '#/runs/r1/lengths' && document.querySelector('.stage svg') !== null`)
	h.until(`document.querySelectorAll('table.numbers tbody tr').length === 5`)
	h.press(".foot .link", "Back to the finding")
	h.until(headed("Changed to "))
}

// strandByTouch is what else is measured of a feed, on one printer: a check by requests alone, another one while a phone
// looks on, the filament across and the flow limit by touch; and then what the checks come to.
func strandByTouch(t *testing.T, browser context.Context) {
	s := siteOf(t, browser, way{gauge: "digital_caliper"})
	s.orderA("feed_check", map[string]any{"gauge": s.gauge, "verify": false})
	s.live("r1")
	s.endsAs(runner.Finished)
	h := finger(s.paired(t, "Ana's phone"))
	s.orderA("feed_check", map[string]any{"gauge": s.gauge, "method": "two_flags", "verify": false})
	s.lookedOn(h.phone, "r2")
	h.press(".action", "")
	h.acrossTen(s)
	h.climbsTo(s)
	h.driftOf(s)
	h.quiet()
}

// lookedOn answers a run by requests while a phone looks on: each question stands there too, and so does the end.
func (s *site) lookedOn(p *phone, run string) {
	s.Helper()
	p.visitPage("/#/runs/" + run)
	for {
		v := s.asking(run)
		if runner.Ended(v.State) {
			p.untilHead(v.Finding.Headline + ".")
			return
		}
		p.shows(v)
		answer := s.hand(*v.Question)
		answer["question"] = v.Question.Number
		s.call(http.MethodPost, "/v1/runs/"+run+"/answers", answer, nil)
	}
}

// acrossTen measures the filament at five places, both ways. One reading is mistyped, taken back and given again.
func (h hands) acrossTen(s *site) {
	h.Helper()
	h.press(".link", "Filament")
	h.untilHead("Is Plum PLA at hand?")
	h.choose("caliper, 0.01 mm")
	h.press(".action", "Begin with Plum PLA")
	h.until(`location.hash === '#/runs/r3'`)
	var given []float64
	for slipped := false; ; {
		v := s.asking("r3")
		if runner.Ended(v.State) {
			break
		}
		h.shows(v)
		answer := s.hand(*v.Question)
		if v.Question.Name == "reading 4" && !slipped {
			slipped = true
			h.takenBack(s, *v.Question)
			continue
		}
		given = append(given, answer["across_mm"].(float64))
		h.enter(s, *v.Question, given)
	}
	kept := s.entries("filament_diameter_mm")
	var body struct {
		ReadMM []float64 `json:"read_mm"`
	}
	if len(kept) != 1 || json.Unmarshal(kept[0].Body, &body) != nil || len(given) != 10 || !slices.Equal(body.ReadMM, given) {
		h.Fatalf("%v were given, and kept is %s", given, mustJSON(h, kept))
	}
	h.press(".action", "To the docket")
	h.docketShows("Filament diameter", *kept[0].Value)
}

// enter records one reading: by the page's key, or where it was a quarter turn on by Enter, as a caliper with a cable does.
func (h hands) enter(s *site, q question, given []float64) {
	h.Helper()
	last := given[len(given)-1]
	if len(given)%2 == 1 {
		s.give(h, "r3", q, map[string]any{"across_mm": last})
		return
	}
	h.typed(asRead(last))
	h.keys(kb.Enter)
	h.untilOther(q.Text)
}

// takenBack gives a reading that was mistyped, and takes it back.
func (h hands) takenBack(s *site, q question) {
	h.Helper()
	s.give(h, "r3", q, map[string]any{"across_mm": 1.99})
	h.shows(s.asking("r3"))
	h.press(".link", "Take back the last answer")
	h.untilHead(q.Text)
}

// docketShows waits until a row of the docket has this value, fresh.
func (h hands) docketShows(row string, value float64) {
	h.Helper()
	h.until(fmt.Sprintf(`[...document.querySelectorAll('.docket li')].some((e) => e.querySelector('.name')?.textContent === %s && e.querySelector('.number b')?.textContent === '%g' && e.textContent.includes('Fresh'))`,
		quote(row), math.Round(100*value)/100))
}

// climbsTo goes from the docket by the start page into a climb, to the flow limit, its numbers, and the docket.
func (h hands) climbsTo(s *site) {
	h.Helper()
	h.press(".foot .link", "Back")
	h.untilHead("The travel ladder is next.")
	h.press(".link", "Flow limit")
	h.untilHead("Is Plum PLA loaded?")
	h.press(".action", "Begin with Plum PLA")
	h.until(`location.hash === '#/runs/r4'`)
	v := s.through(h, "r4")
	working, ok := value(v, "flow_limit_mm3_per_s")
	if v.Finding == nil || v.Finding.Kind != "found" || !ok {
		h.Fatalf("%s %s, finding %s", v.State, v.Cause, mustJSON(h, v.Finding))
	}
	h.untilHead(v.Finding.Headline + ".")
	blocks := len(s.entries("flow_block"))
	h.press(".link", "The numbers")
	h.until(fmt.Sprintf(`document.querySelectorAll('table.curve tbody tr').length === %d`, blocks))
	h.press(".foot .link", "Back to the finding")
	h.untilHead(v.Finding.Headline + ".")
	h.press(".action", "Look at the docket")
	h.docketShows("Flow limit", working)
	h.Logf("%d blocks, %g mm³/s to work with", blocks, working)
}

// driftOf goes from the docket's feed to the checks of the printer: as many as there were.
func (h hands) driftOf(s *site) {
	h.Helper()
	h.press(".docket li a", "Steps")
	h.press(".link", "How it drifts")
	h.until(`location.hash === '#/drift/window' && document.querySelector('.stage svg') !== null`)
	h.until(fmt.Sprintf(`document.querySelectorAll('table.checks tbody').length === %d`, len(s.entries("feed_check"))))
}

// flagsByKeys is a whole check by two flags with Tab, Enter, arrows and digits, on a desk.
func flagsByKeys(t *testing.T, browser context.Context) {
	w := touched()[0]
	s := siteOf(t, browser, w.way)
	h := keyboard(s.paired(t, "Ana's desk"))
	h.size(1280, 800)
	h.visitPage("/")
	w.begin(h)
	s.foundBy(h, w)
	h.quiet()
}
