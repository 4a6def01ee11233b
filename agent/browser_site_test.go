package main

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fettle/api/guard"
	"fettle/routines/runner"
	"fettle/serialio/standin"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// site is an agent in a process of its own, called by its name as phones in a workshop call it.
type site struct {
	*victim
	browser context.Context
	scheme  string
	phones  byte
	reading string // of the leftover, as the person wrote it down
	readAt  float64
	listens string // where the agent does, for phones
}

// newSite begins the first life. Each setting is one of the environment.
func newSite(t *testing.T, browser context.Context, profile standin.Profile, speedup float64, settings ...string) *site {
	t.Helper()
	s := &site{victim: newVictim(t, profile, speedup), browser: browser, scheme: "http"}
	s.firstLife(t, settings...)
	return s
}

func (s *site) firstLife(t *testing.T, settings ...string) {
	t.Helper()
	s.env = append([]string{"FETTLE_NAMES=" + fettleTest}, settings...)
	s.rise()
	t.Cleanup(func() { s.kill() })
}

// rise starts a life of the agent.
func (s *site) rise() {
	s.Helper()
	s.start(0)
	s.listens = s.url[strings.Index(s.url, "//")+2:]
	if rest, own := strings.CutPrefix(s.url, "https://"); own {
		s.scheme = "https"
		s.url = s.unwrapped(rest)
	}
	// The window for a phone is shut at the start, in the same breath in which the keys are read.
	for status := 0; status != http.StatusOK && s.Context().Err() == nil; {
		status, _, _ = s.try(http.MethodGet, "/v1/printers", nil)
	}
}

// kill is SIGKILL. A process that is gone already is left alone.
func (s *site) kill() {
	if s.process == nil {
		return
	}
	_ = s.process.Process.Kill()
	s.gone()
	s.process = nil
}

// unwrapped is the agent under TLS, for a test that asks it in plain. Its certificate is trusted by its file.
func (s *site) unwrapped(address string) string {
	s.Helper()
	pem, err := os.ReadFile(filepath.Join(s.folder, "own-certificate.pem"))
	if err != nil {
		s.Fatal(err)
	}
	roots := x509.NewCertPool()
	roots.AppendCertsFromPEM(pem)
	proxy := httputil.NewSingleHostReverseProxy(&url.URL{Scheme: "https", Host: address})
	proxy.Transport = &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots}}
	server := httptest.NewServer(proxy)
	s.Cleanup(server.Close)
	return server.URL
}

// phone is a tab with the network that it comes through.
type phone struct {
	*tab
	net *passage
}

// stranger is a phone that is not paired.
func (s *site) stranger(t testing.TB) *phone {
	t.Helper()
	s.phones++
	net := newPassage(t, 10+s.phones, s.listens)
	return &phone{newTab(t, s.browser, s.scheme+"://"+fettleTest+":"+net.port()), net}
}

// paired is a phone whose key was got by a request, as the page gets it.
func (s *site) paired(t testing.TB, name string) *phone {
	t.Helper()
	p := s.stranger(t)
	body, _ := json.Marshal(map[string]string{"code": s.code(t), "name": name})
	req, err := http.NewRequestWithContext(t.Context(), http.MethodPost, s.url+"/v1/pair", strings.NewReader(string(body)))
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Content-Type", "application/json")
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	if res.StatusCode != http.StatusCreated {
		said, _ := io.ReadAll(res.Body)
		t.Fatalf("pair: %d %s", res.StatusCode, said)
	}
	for _, c := range res.Cookies() {
		p.do("keep the key", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			_, err := cdp.Call(ctx, t, network.SetCookie, network.SetCookieParams{Name: c.Name, Value: c.Value, URL: p.origin, HTTPOnly: new(true)})
			return err
		}))
	}
	return p
}

// code opens the window for one more phone and reads the nine digits from what a terminal would show.
func (s *site) code(t testing.TB) string {
	t.Helper()
	book := s.open()
	defer book.Close()
	in, err := guard.OpenWindow(t.Context(), book, guard.Operate)
	if err != nil {
		t.Fatal(err)
	}
	var shown strings.Builder
	invite(&shown, in, []string{s.url})
	found := threes.FindStringSubmatch(shown.String())
	if found == nil {
		t.Fatalf("no code in %s", shown.String())
	}
	return found[1]
}

// asking waits until a run asks or has ended.
func (s *site) asking(run string) runner.RunView {
	s.Helper()
	for {
		var v runner.RunView
		s.get("/v1/runs/"+run+"?until=asking,ended&within=20s", &v)
		if v.Question != nil || runner.Ended(v.State) {
			return v
		}
	}
}

// now looks at a run without waiting.
func (s *site) now(run string) (v runner.RunView) {
	s.Helper()
	s.get("/v1/runs/"+run, &v)
	return v
}

// axeFile is the accessibility checker, which npm puts there; .ci/run installs it.
const axeFile = "../.ci/web/node_modules/axe-core/axe.min.js"

func readAxe(t testing.TB) string {
	t.Helper()
	text, err := os.ReadFile(axeFile)
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("axe is missing, and in CI nothing is skipped: %v", err)
		}
		t.Logf("SKIPPED: no accessibility check, since %v", err)
		return ""
	}
	return string(text)
}
