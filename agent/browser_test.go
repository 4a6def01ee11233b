package main

import (
	"context"
	"os"
	"os/exec"
	"testing"

	"github.com/chromedp/chromedp"
)

// The pages in a real browser, against the agent in a process of its own beside a stand-in printer on a real
// pseudo-terminal. One browser serves them all; each phone is a browser context.
//
//	AGENT_BROWSER=all go test ./agent -run 'TestBrowser/states'                        every page and state, held to its rules
//	AGENT_BROWSER=all AGENT_SHOTS=../shots go test ./agent -run 'TestBrowser/states'   and photographed, light and dark
func TestBrowser(t *testing.T) {
	browser := startBrowser(t)
	long := map[string]bool{"middle": true, "tuning": true, "methods": true, "states": true} // together some minutes
	for name, test := range map[string]func(*testing.T, context.Context){
		"tap":     tapThrough,
		"middle":  inTheMiddle,
		"tuning":  tunedByTouch,
		"methods": eachWayByTouch,
		"keys":    keyboardAlone,
		"two":     twoAnswers,
		"states":  everyState,
		"figures": figures,
	} {
		if long[name] && os.Getenv("AGENT_BROWSER") != "all" {
			continue // the gate runs them all
		}
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			test(t, browser)
		})
	}
}

// fettleTest is a name that the browser takes for this computer, and for no loopback: pages there are as insecure as
// those of a workshop. The name is of the top level that RFC 2606 keeps for tests.
const fettleTest = "fettle.test"

// startBrowser starts it for one test and what runs inside.
func startBrowser(t testing.TB) context.Context {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser takes longer than -short allows")
	}
	path, err := exec.LookPath("chromium")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("chromium is missing, and in CI nothing is skipped")
		}
		t.Skip("SKIPPED: chromium is not on this machine, so no page was looked at")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.IgnoreCertErrors,
		chromedp.Flag("host-resolver-rules", "MAP "+fettleTest+" 127.0.0.1"),
		chromedp.Flag("no-proxy-server", true),
		chromedp.Flag("disable-features", "HttpsUpgrades,HttpsFirstBalancedModeAutoEnable,Translate"))
	all, stop := chromedp.NewExecAllocator(context.Background(), options...)
	browser, closeBrowser := chromedp.NewContext(all, chromedp.WithErrorf(t.Logf))
	t.Cleanup(func() { closeBrowser(); stop() })
	if err := chromedp.Do(browser); err != nil {
		t.Fatalf("start %s: %v", path, err)
	}
	return browser
}
