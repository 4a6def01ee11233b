package main

import (
	"context"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"fettle/routines"
	"fettle/routines/runner"
)

// byTouch is one printer with one material, tuned by a finger on a phone.
type byTouch struct {
	*testing.T
	*site
	look  *look
	asked tuned // the same tuning, for what the logbook and the stand-in's equations know of it
}

// tunedByTouch takes a printer from fresh to a docket that is handed over, through the pages alone, on a phone of 390 by
// 844: feed check, travel ladder, retraction ladder until a length is found, the docket, the hand-over. The grades are those
// of the demo's trained eye, touched band by band and gap by gap. AGENT_TUNINGS=all takes each printer of the demo with each
// of its materials.
func tunedByTouch(t *testing.T, browser context.Context) {
	axe, shots := readAxe(t), shotsFolder(t)
	for i, printer := range demoPrinters() {
		for j, material := range inventedMaterials {
			if (i != 0 || j != 0) && os.Getenv("AGENT_TUNINGS") != "all" {
				continue
			}
			t.Run(printer.id+" "+material.ID, func(t *testing.T) {
				t.Parallel()
				printer.profile.Material = strandOf(material)
				s := &site{victim: newVictimOf(t, printer, hurry), browser: browser, scheme: "http"}
				s.firstLife(t)
				ana := s.paired(t, "Ana's phone")
				u := &byTouch{t, s, &look{T: t, site: s, phone: ana, axe: axe, shots: shots}, tuned{s.client, printer, material, printer.setup.Retracts}}
				u.tune(ana)
			})
		}
	}
}

func (u *byTouch) tune(ana *phone) {
	began := time.Now()
	ana.visitPage("/")
	ana.untilHead("The feed check is due.")
	u.begin(ana, func() { ana.tapNamed(".cell", caliper) })
	u.finish(ana, "r1", "change", nil)
	ana.untilHead("The travel ladder is next.")
	u.begin(ana, nil)
	travel, _ := value(u.finish(ana, "r2", "found", nil), "travel_speed_mm_per_s")
	ana.untilHead(shortName(u.asked.material)) // the docket, which says what is next
	ana.until(`document.querySelector('.action')?.textContent === 'Retraction ladder'`)
	u.begin(ana, nil)
	found := u.finish(ana, "r3", "found", u.seen())
	lengthMM, _ := value(found, "retraction_length_mm")
	u.handOver(ana, lengthMM)
	truthMM, ok := u.asked.truthMM(travel, lengthMM)
	pieces, _ := value(found, "pieces")
	u.Logf("found %.2f mm, truly %.3f mm; travel %g mm/s; 1 and %g pieces, %.2f m of filament; %.0f s", lengthMM, truthMM, travel, pieces, u.asked.filamentM(), time.Since(began).Seconds())
	if !ok || math.Abs(lengthMM-truthMM) > 0.25 {
		u.Errorf("%g mm were found, and truly %g mm suffice (%v)", lengthMM, truthMM, ok)
	}
	ana.quiet()
}

// begin goes from a page that says what is next into the run, with the material that is loaded.
func (u *byTouch) begin(p *phone, choose func()) {
	u.Helper()
	p.tap(".action")
	p.until(headed("Is "))
	loaded := "Is " + shortName(u.asked.material) + " loaded?"
	if p.head() != loaded {
		p.tapNamed(".link", "Another filament")
		m := u.asked.material
		p.tapNamed("a.choice", fmt.Sprintf("%s%g\u00a0°C%g to %g", m.Name, m.NozzleC, m.NozzleMinC, m.NozzleMaxC))
	}
	p.untilHead(loaded)
	if choose != nil {
		choose()
	}
	p.tap(".action")
	p.until(`location.hash.startsWith('#/runs/')`)
}

func shortName(m routines.Material) string { return strings.TrimSuffix(m.Name, " (invented)") }

// finish answers a run to its end and goes on from its finding: to the printer, or behind a ladder to the docket.
func (u *byTouch) finish(p *phone, run, kind string, between func(runner.RunView) *phone) runner.RunView {
	u.Helper()
	v := u.walk(p, run, between)
	if v.State != runner.Finished || v.Finding == nil || v.Finding.Kind != kind {
		u.Fatalf("%s: %s %s, finding %+v; want %s", v.Routine, v.State, v.Cause, v.Finding, kind)
	}
	if kind == "found" {
		u.look.at("tuning "+v.Routine+" found", headed(v.Finding.Headline+"."), true)
	}
	p.until(`(document.querySelector('.action')?.textContent ?? '') === ` + quote(map[string]string{"found": "Look at the docket"}[kind]+map[string]string{"change": "Back to the printer"}[kind]))
	p.tap(".action")
	return v
}

// seen looks at the first piece's two questions from all sides, as they are with the words of a real run.
func (u *byTouch) seen() func(runner.RunView) *phone {
	looked := map[string]bool{}
	return func(v runner.RunView) *phone {
		if f := v.Question.Figure; (f == "piece" || f == "grades") && !looked[f] {
			looked[f] = true
			u.look.at("tuning "+f, headed(map[string]string{"piece": "Print piece 1?", "grades": "How is band A?"}[f]), true)
		}
		return u.look.phone
	}
}

// handOver goes from the finding to the docket, finds the length fresh there, and gives the values to whoever retracts.
func (u *byTouch) handOver(p *phone, lengthMM float64) {
	u.Helper()
	p.untilHead(shortName(u.asked.material))
	fresh := fmt.Sprintf(`[...document.querySelectorAll('.docket li')].some((e) => e.querySelector('.name')?.textContent === 'Retraction length' && e.querySelector('.number b')?.textContent === '%g' && e.textContent.includes('Fresh'))`, lengthMM)
	p.until(fresh)
	u.look.at("tuning docket", fresh, false)
	p.tapNamed(".action", "Hand over")
	p.untilHead("Which of the two retracts?")
	u.look.at("tuning hand over", headed("Which of the two retracts?"), false)
	p.tap(".controls .action")
	p.until(`document.querySelector('.done-so')?.textContent.startsWith('Handed over') ?? false`)
	u.look.at("tuning handed over", `document.querySelector('.done-so') !== null`, false)
	u.asked.inUse(lengthMM)
}

// gradeWords are what the five ways stand for in the page: the grade, and how it is told.
var gradeWords = map[string]string{"clean": "nothing, even lit", "hairs": "only against light", "threads": "at arm’s length", "strings": "bend before they break", "web": "no gap left clear"}

// grade touches what a trained eye sees of the piece on the bed: each band, each of its gaps that differs, and voids.
func (s *site) grade(p *phone, asked runner.OpenQuestion) {
	s.Helper()
	trained, _ := eyeNamed("eye")
	bands := pieceSeen{sinceOn: uint64(asked.Number)}.look(s.printer.Bench(), 1, trained, false).Bands
	for i, b := range bands {
		p.untilHead("How is band " + b.Letter + "?")
		p.touchGrade(b.Grade)
		p.until(fmt.Sprintf(`document.querySelectorAll('.stage .pick[aria-label^="Band %s, "][aria-label$=", %s"]').length === %d`, b.Letter, b.Grade, len(b.Gaps)))
		for _, g := range b.Gaps {
			if g.Grade != b.Grade {
				p.gradeGap(b, g)
			}
		}
		if b.Voids {
			p.tapNamed(".grades .cell", "Voids in band "+b.Letter+", where lines begin anew")
		}
		if i == len(bands)-1 {
			p.tapNamed(".grades .cell", "all judged")
		} else {
			p.tapNamed(".grades .cell", "next")
		}
	}
	p.untilHead("And the piece as a whole?")
}

func (p *phone) touchGrade(grade string) {
	p.Helper()
	p.tapNamed(".grades .cell", grade+gradeWords[grade])
}

// gradeGap touches one gap in the drawing, then its grade.
func (p *phone) gradeGap(b bandLooked, g gapLooked) {
	p.Helper()
	p.tapNamed(".stage .pick", fmt.Sprintf("Band %s, %g mm gap, %s", b.Letter, g.MM, b.Grade))
	p.untilHead(fmt.Sprintf("Band %s, the %g\u00a0mm gap?", b.Letter, g.MM))
	p.touchGrade(g.Grade)
	p.until(fmt.Sprintf(`[...document.querySelectorAll('.stage .pick')].some((e) => e.getAttribute('aria-label') === %s)`, quote(fmt.Sprintf("Band %s, %g mm gap, %s", b.Letter, g.MM, g.Grade))))
}
