package main

import (
	"context"
	"fmt"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"os"
	"strconv"
	"strings"
	"testing"

	"fettle/web"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// figures are printed and not judged: a machine that is busy makes them worse. The memory is that of the agent's own
// process with one page connected, which is this test's program and thus larger than the agent; the times are those of a
// phone whose processor is four times slower than this one.
func figures(t *testing.T, browser context.Context) {
	s := newSite(t, browser, demoProfile(), 50)
	p := s.paired(t, "Ana's phone")
	id := s.client.begin(map[string]any{"gauge": "caliper"})
	asked := s.asking(id)
	p.do("slow the processor down", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 4})
		return err
	}))
	p.visitPage("/#/runs/" + id)
	p.shows(asked)
	read := eval[float64](p.tab, `performance.now()`)
	paint := eval[float64](p.tab, `performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? -1`)
	t.Logf("4 times slower: first paint after %.0f ms, the first question stands after %.0f ms", paint, read)
	t.Logf("resident with one page connected: %.1f MB", residentMB(t, s.process.Process.Pid))
}

// residentMB reads VmRSS (proc(5)).
func residentMB(t *testing.T, pid int) float64 {
	t.Helper()
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(status), "VmRSS:")
	kB, err := strconv.ParseFloat(strings.Fields(rest)[0], 64)
	if err != nil {
		t.Fatal(err)
	}
	return kB / 1000
}

// mostPacked is what a phone loads the first time, at most: as it goes over the line, by gzip.
const mostPacked = 150_000

// All files of the pages together, as the handler sends them to a browser.
func TestThePagesAreSmall(t *testing.T) {
	pages, whole, count := web.Pages(), 0, 0
	err := fs.WalkDir(os.DirFS("../web"), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		r := httptest.NewRequest(http.MethodGet, "/"+name, nil)
		r.Header.Set("Accept-Encoding", "gzip")
		w := httptest.NewRecorder()
		if pages.ServeHTTP(w, r); w.Code == http.StatusOK {
			whole, count = whole+w.Body.Len(), count+1
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d files, %d bytes packed", count, whole)
	if whole > mostPacked || count < 20 {
		t.Errorf("%d files of the pages are %d bytes packed, more than %d", count, whole, mostPacked)
	}
}
