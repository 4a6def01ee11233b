package main

import (
	"net/http"

	"fettle/routines/runner"
	"fettle/serialio/standin"
)

// sentScenes are those of a program that is streamed, for real, and of what a check of the cable finds.
func sentScenes() []scene {
	return []scene{
		{name: "streaming", show: streamedByTouch},
		{name: "killed while streaming", show: killedWhileStreaming},
		{name: "cable", show: checkedCable},
		{name: "noisy cable", change: func(p *standin.Profile) { p.FromHost = standin.Noise(7, 3e-4) }, show: checkedCable},
		{name: "heater broken", change: func(p *standin.Profile) { p.HeaterBroken = true }, show: heaterFault},
	}
}

// manyLines are more than are sent while a page is looked at from all sides.
const manyLines = 200_000

// streamedByTouch goes from the printer's page into a cable check, pauses it, lets it go on and stops it.
func streamedByTouch(l *look) {
	p, s := l.phone, l.site
	p.visitPage("/")
	p.untilHead("The feed check is due.")
	p.tapNamed(".link", "Check the cable")
	p.untilHead("Does each line arrive?")
	p.tapNamed(".link", "Another number")
	p.until(`document.querySelector('#f-lines') !== null`)
	eval[bool](p.tab, `(() => { const e = document.querySelector('#f-lines'); e.value = '200000'; return e.dispatchEvent(new Event('input')); })()`)
	p.tap(".action")
	const under = `(() => Number(document.querySelector('.stage .big')?.textContent.replace(/\D/g, '')) > 0)()`
	p.until(headed("Sending lines.") + " && " + under)
	l.at("streaming", headed("Sending lines."), false)
	p.tap(".bar .pause")
	p.until(headed("Go on?"))
	held := s.now("r1")
	l.at("paused", headed("Go on?"), true)
	if now := s.now("r1"); now.Question == nil || now.Question.Number != held.Question.Number || now.LastSeq != held.LastSeq {
		l.Errorf("the program did not stand still: event %d, then %d", held.LastSeq, now.LastSeq)
	}
	p.tap(".action")
	p.until(headed("Sending lines."))
	p.tap(".bar .stop")
	p.until(headed("The check was stopped."))
	l.at("stopped while streaming", headed("The check was stopped."), true)
	p.until(`/lines? (was|were|it is)|Each of these/.test(document.querySelector('.column').textContent)`)
	p.quiet()
}

func (s *site) beginCable(lines int) (id string) {
	s.Helper()
	var v runner.RunView
	s.call(http.MethodPost, "/v1/runs", map[string]any{"printer": "window", "routine": "cable_check", "material": "plum-pla", "inputs": map[string]any{"lines": lines}}, &v)
	return v.ID
}

// killedWhileStreaming is an agent that is killed in the middle of a program: it counted how far it came, to a twentieth.
func killedWhileStreaming(l *look) {
	p, s := l.phone, l.site
	id := s.beginCable(manyLines)
	p.visitPage("/#/runs/" + id)
	p.until(`Number(document.querySelector('.stage .big')?.textContent.replace(/\D/g, '')) >= ` + "10000")
	p.net.sever()
	s.kill()
	s.rise()
	p.net.mend(s.listens)
	p.excuse()
	p.until(headed("The check was interrupted."))
	p.until(`document.querySelector('.column').textContent.includes('nobody was there to count')`)
	l.at("killed while streaming", headed("The check was interrupted."), true)
}

// checkedCable ends a check by requests and shows what it found. On a busy machine an answer may be late, and a cable
// without a fault be found slow: so the finding is the agent's.
func checkedCable(l *look) {
	v := l.site.asking(l.site.beginCable(2000))
	if v.Finding == nil {
		l.Fatalf("the check has no finding: %s, %s", v.State, v.Cause)
	}
	l.phone.visitPage("/#/runs/" + v.ID)
	l.at("cable found "+v.Finding.Kind, headed(v.Finding.Headline), true)
	l.phone.turn("#/logbook")
	l.at("logbook with a "+v.Finding.Kind+" cable", headed("Nothing is edited here.")+` && document.querySelector('.past').textContent.includes('cable check')`, false)
}

// heaterFault is a printer whose heater gives no heat: it says so in its own words and stops itself.
func heaterFault(l *look) {
	p, s := l.phone, l.site
	id := s.client.begin(map[string]any{"gauge": "caliper"})
	for v := s.asking(id); !runner.Ended(v.State); v = s.asking(id) {
		answer := s.hand(*v.Question)
		answer["question"] = v.Question.Number
		s.call(http.MethodPost, "/v1/runs/"+id+"/answers", answer, nil)
	}
	p.visitPage("/#/runs/" + id)
	l.at("ended by a heater fault", headed("The printer stopped itself."), true)
	p.turn("#/printers/window")
	p.until(`document.querySelector('.quote')?.textContent.includes('Heating failed') ?? false`)
	l.at("heater fault", headed("The printer stopped itself."), true)
}
