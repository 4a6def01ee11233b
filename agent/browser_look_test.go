package main

import (
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// look is a phone that is shown a state after the other, and what is demanded of each.
type look struct {
	*testing.T
	site  *site
	phone *phone
	axe   string // the checker's script; empty: it is not there
	shots string // a folder; empty: no photographs

	excused string // what the browser itself may say in the console of the states to come
}

// small are what may be less than 48 by 48 pixels, each with its reason.
var small = map[string]string{
	".stage .pick": "a drawing to scale: a place in it is as large as what it stands for, and each can be said by a button below",
}

// layered are what may lie over others that can be touched, each with its reason.
var layered = map[string]string{
	".bar .halt, .bar .pause": "Stop fills the bar, so that its word never moves; the two stand at its ends",
	".stage .pick":            "a drawing to scale, as above",
}

// sizes are those of phones, a tablet and a desk. At the first two a page with a question shows all of it.
var sizes = []struct {
	width, height int64
	whole         bool // question, action and dock stand together
	layout        bool // looked at for its layout alone
	shot          bool
}{
	{320, 640, true, false, true},
	{360, 780, true, true, false},
	{390, 844, false, false, true},
	{768, 1024, false, false, false},
	{1280, 800, false, false, true},
}

// at waits until the page shows a state, looks at it from all sides, and makes sure that it still was that state at the
// end. whole: it has a question, and must show it together with its action and the dock.
func (l *look) at(name, condition string, whole bool) {
	l.Helper()
	l.phone.until(condition)
	for _, theme := range []string{"light", "dark"} {
		l.phone.dress(theme)
		for _, size := range sizes {
			if size.layout && theme == "dark" {
				continue
			}
			l.phone.size(size.width, size.height)
			eval[bool](l.phone.tab, `window.eyes.drawn()`)
			where := fmt.Sprintf("%s, %d by %d, %s", name, size.width, size.height, theme)
			l.judge(where, whole && size.whole, size.width)
			if !size.layout {
				l.hear(where)
			}
			if l.shots != "" && size.shot {
				l.shoot(fmt.Sprintf("%s-%d-%s.png", name, size.width, theme))
			}
		}
	}
	if !eval[bool](l.phone.tab, condition) {
		l.Errorf("%s: the state went away while it was looked at; the page shows %q", name, l.phone.head())
	}
	l.phone.dress("light")
	l.phone.size(390, 844)
	eval[bool](l.phone.tab, `window.eyes.drawn()`)
	for _, s := range l.phone.noise() {
		if l.excused == "" || !strings.Contains(s, l.excused) {
			l.Errorf("%s: %s", name, s)
		}
	}
}

// judge holds the page to its layout.
func (l *look) judge(where string, whole bool, width int64) {
	l.Helper()
	how, err := json.Marshal(map[string]any{"excepted": slices.Sorted(maps.Keys(small)), "layered": slices.Sorted(maps.Keys(layered)), "whole": whole, "width": width})
	if err != nil {
		l.Fatal(err)
	}
	for _, s := range eval[[]string](l.phone.tab, fmt.Sprintf(`window.eyes.judge(%s)`, how)) {
		l.Errorf("%s: %s", where, s)
	}
}

// crossed lays something that can be touched over an action, and holds the eyes to seeing it: what they never find must not
// be what they cannot see.
func (l *look) crossed() {
	l.Helper()
	found := eval[[]string](l.phone.tab, `(() => {
		const under = document.querySelector('.action').getBoundingClientRect(), over = document.body.appendChild(document.createElement('button'));
		Object.assign(over.style, {position: 'fixed', left: under.left + 'px', top: under.bottom - 20 + 'px', width: '60px', height: '60px'});
		const said = window.eyes.judge({excepted: [], layered: [], whole: false, width: innerWidth});
		over.remove();
		return said.filter((s) => s.includes('lie over each other by 60 by 20'));
	})()`)
	if len(found) != 1 {
		l.Errorf("a button lay 20 px over the action, and was said %d times", len(found))
	}
}

// hear holds it to the rules of WCAG that a program can check, by axe.
func (l *look) hear(where string) {
	l.Helper()
	if l.axe == "" {
		return
	}
	if !eval[bool](l.phone.tab, `window.axe !== undefined`) {
		eval[bool](l.phone.tab, l.axe+`; true`)
	}
	for _, s := range eval[[]string](l.phone.tab, `window.eyes.axe()`) {
		l.Errorf("%s: %s", where, s)
	}
}

func (l *look) shoot(name string) {
	l.Helper()
	picture, err := chromedp.Run(l.phone.ctx, chromedp.CaptureScreenshot())
	if err != nil {
		l.Fatalf("photograph %s: %v", name, err)
	}
	if err := os.WriteFile(filepath.Join(l.shots, strings.ReplaceAll(name, " ", "-")), picture, 0o644); err != nil {
		l.Fatal(err)
	}
}

// headed is the state in which the page's question begins so.
func headed(text string) string {
	return `(document.querySelector('h1')?.textContent ?? '').startsWith(` + quote(text) + `)`
}
