package main

import (
	"context"
	_ "embed"
	"encoding/json"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// tab is a page in a browser context of its own: another phone, with its own keys and its own memory.
type tab struct {
	testing.TB
	ctx    context.Context
	close  context.CancelFunc // it is closed with the test at the latest
	origin string

	mu      sync.Mutex
	said    []string // in the console
	strayed []string // requests to another origin
}

// eyes is put into each document: it finds where a finger lands, and what is out of place.
//
//go:embed testdata/eyes.js
var eyes string

// patience is how long a condition may take on a machine that is busy. It is no claim about the page.
const patience = 30 * time.Second

func newTab(t testing.TB, browser context.Context, origin string) *tab {
	t.Helper()
	p := &tab{TB: t, origin: origin}
	ctx, closeTab := chromedp.NewContext(browser, chromedp.WithNewBrowserContext(), chromedp.WithListener(p.hear))
	t.Cleanup(closeTab)
	p.ctx, p.close = ctx, closeTab
	// The first action opens the tab, which ends with the context of that action: so it has no time limit.
	if err := chromedp.Do(ctx, chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		if _, err := cdp.Call(ctx, t, network.Enable, network.EnableParams{}); err != nil {
			return err
		}
		_, err := cdp.Call(ctx, t, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: eyes})
		return err
	})); err != nil {
		t.Fatalf("open a tab: %v", err)
	}
	p.size(390, 844)
	return p
}

// hear notes what a page must not do. It is called in the order of the events, by one goroutine of the browser's.
func (p *tab) hear(ev any) {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch ev := ev.(type) {
	case *runtime.EventConsoleAPICalled:
		var words []string
		for _, a := range ev.Args {
			words = append(words, a.Description+string(a.Value))
		}
		p.said = append(p.said, string(ev.Type)+": "+strings.Join(words, " "))
	case *runtime.EventExceptionThrown:
		text := ev.ExceptionDetails.Text
		if ev.ExceptionDetails.Exception != nil {
			text += " " + ev.ExceptionDetails.Exception.Description
		}
		p.said = append(p.said, text)
	case *log.EventEntryAdded:
		p.said = append(p.said, fmt.Sprintf("%s: %s %s", ev.Entry.Level, ev.Entry.Text, ev.Entry.URL))
	case *network.EventRequestWillBeSent:
		p.visit(ev.Request.URL)
	case *network.EventWebSocketCreated:
		p.visit(strings.Replace(ev.URL, "ws", "http", 1))
	}
}

func (p *tab) visit(url string) {
	if !strings.HasPrefix(url, p.origin+"/") && !strings.HasPrefix(url, "data:") && url != "about:blank" {
		p.strayed = append(p.strayed, url)
	}
}

// noise is what the console said and where the page strayed to, since it was last asked.
func (p *tab) noise() (all []string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, s := range p.said {
		all = append(all, "the console says "+s)
	}
	for _, s := range p.strayed {
		all = append(all, "the page asked elsewhere: "+s)
	}
	p.said, p.strayed = nil, nil
	return all
}

// quiet fails where the console was written to or another origin was asked.
func (p *tab) quiet() {
	p.Helper()
	for _, s := range p.noise() {
		p.Error(s)
	}
}

// excuse forgets what the console said while a test broke something.
func (p *tab) excuse() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.said = nil
}

func (p *tab) do(what string, steps ...chromedp.Action[chromedp.Void]) {
	p.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		p.Fatalf("%s: %v\n%s", what, err, p.seen())
	}
}

// eval runs a script in the page and reads its value.
func eval[T any](p *tab, script string) T {
	p.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	if err != nil {
		p.Fatalf("%.80s: %v", script, err)
	}
	return v
}

// until waits for a condition in the page, over reloads.
func (p *tab) until(condition string) {
	p.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	for {
		_, err := chromedp.Run(ctx, chromedp.Poll[bool](condition, chromedp.WithPollingInterval(20*time.Millisecond), chromedp.WithPollingTimeout(patience)))
		switch {
		case err == nil:
			return
		case ctx.Err() != nil || !navigated(err):
			p.Fatalf("waiting for %s: %v\nthe page shows:\n%s\nthe console: %q", condition, err, p.seen(), p.said)
		}
	}
}

// navigated says whether a page went away under a script, which is no failure of either.
func navigated(err error) bool {
	for _, s := range []string{"context was destroyed", "Cannot find context", "navigated", "uniqueContextId not found", "Promise was collected"} {
		if strings.Contains(err.Error(), s) {
			return true
		}
	}
	return false
}

// seen is the text of the page, for a person who reads a failure.
func (p *tab) seen() string {
	ctx, cancel := context.WithTimeout(p.ctx, 5*time.Second)
	defer cancel()
	text, err := chromedp.Run(ctx, chromedp.Evaluate[string](`document.body.innerText`))
	if err != nil {
		return err.Error()
	}
	return text
}

// size makes the page a phone's, or from 1000 px a desk's.
func (p *tab) size(width, height int64) {
	p.Helper()
	touch := []chromedp.EmulateViewportOption{chromedp.EmulateMobile, chromedp.EmulateTouch}
	if width >= 1000 {
		touch = nil
	}
	p.do("set the size", chromedp.EmulateViewport(width, height, touch...))
}

// dress chooses light or dark, as the phone's owner has it.
func (p *tab) dress(theme string) {
	p.Helper()
	features := []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: theme}}
	p.do("choose "+theme, chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: features})
		return err
	}))
}

func (p *tab) visitPage(path string) {
	p.Helper()
	p.do("go to "+path, chromedp.Navigate(p.origin+path))
}

// turn goes to another page of the same document.
func (p *tab) turn(hash string) {
	p.Helper()
	eval[bool](p, fmt.Sprintf(`(location.hash = %s, true)`, quote(hash)))
}

// tap touches the middle of what a selector finds, as long as nothing lies over it.
func (p *tab) tap(selector string) { p.Helper(); p.tapNamed(selector, "") }

// tapNamed touches the element that has these words or this name.
func (p *tab) tapNamed(selector, words string) {
	p.Helper()
	what := fmt.Sprintf(`(%s, %s)`, quote(selector), quote(words))
	p.until(`window.eyes.touch` + what + ` !== null`)
	at := eval[[]float64](p, `window.eyes.still`+what)
	if len(at) != 2 {
		p.Fatalf("%s %q cannot be touched any more\n%s", selector, words, p.seen())
	}
	p.do("tap "+selector, chromedp.TapXY(at[0], at[1]))
}

// head is the question of the page.
func (p *tab) head() string {
	p.Helper()
	return eval[string](p, `document.querySelector('h1')?.textContent ?? ''`)
}

func (p *tab) untilHead(text string) {
	p.Helper()
	p.until(`document.querySelector('h1')?.textContent === ` + quote(text))
}

func (p *tab) untilOther(text string) {
	p.Helper()
	p.until(`(document.querySelector('h1')?.textContent ?? ` + quote(text) + `) !== ` + quote(text))
}

// quote writes a text as a script has it.
func quote(s string) string {
	b, _ := json.Marshal(s) // a string always can be written
	return string(b)
}
