package api_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"fettle/api"
	"fettle/api/guard"
	"fettle/routines/logbook"
)

// guarded is an api behind a guard that asks for keys, over a real store of keys, held to the document.
type guarded struct {
	*bench
	keys    *logbook.Book
	folder  string
	invited guard.Invitation
	peers   int
	log     *written
}

// written is a log that a test reads.
type written struct {
	mu sync.Mutex
	bytes.Buffer
}

func (w *written) Write(p []byte) (int, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.Buffer.Write(p)
}

func newGuarded(t testing.TB, stopOpen bool, change ...func(*api.Config)) *guarded {
	t.Helper()
	g := &guarded{folder: t.TempDir(), log: &written{}}
	var err error
	if g.keys, err = logbook.Open(t.Context(), filepath.Join(g.folder, "logbook.db")); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { g.keys.Close() })
	log := slog.New(slog.NewTextHandler(g.log, &slog.HandlerOptions{Level: slog.LevelDebug}))
	door := guard.New(guard.Config{Store: g.keys, Names: []string{"board.local"}, StopOpen: stopOpen,
		Invite: func(in guard.Invitation) { g.invited = in }, Log: log})
	pages := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { fmt.Fprint(w, "a page") })
	g.bench = newBench(t, append([]func(*api.Config){func(c *api.Config) { c.Guard, c.Pages, c.Log = door, pages, log }}, change...)...)
	return g
}

// ask sends a request to the board by its name; each comes from another address.
func (g *guarded) ask(method, path, body string, header ...string) *httptest.ResponseRecorder {
	g.Helper()
	g.peers++
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.Host = "board.local:7340"
	r.RemoteAddr = fmt.Sprintf("10.%d.%d.%d:5000", g.peers>>16&255, g.peers>>8&255, g.peers&255)
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for _, line := range header {
		name, value, _ := strings.Cut(line, ": ")
		r.Header.Set(name, value)
	}
	w := httptest.NewRecorder()
	g.ServeHTTP(w, r)
	return w
}

// pair pairs a phone over the API and returns the headers of its page.
func (g *guarded) pair(name string, right guard.Right) []string {
	g.Helper()
	if err := g.server.Guard.Open(g.Context(), right); err != nil {
		g.Fatal(err)
	}
	w := g.ask("POST", "/v1/pair", fmt.Sprintf(`{"code":%q,"name":%q}`, g.invited.Code, name), "Origin: http://board.local:7340")
	if w.Code != http.StatusCreated || len(w.Result().Cookies()) != 1 {
		g.Fatalf("pair: %d %s", w.Code, w.Body)
	}
	return []string{"Origin: http://board.local:7340", "Cookie: " + w.Result().Cookies()[0].String()}
}

func (g *guarded) token(right guard.Right) string {
	g.Helper()
	secret, _, err := guard.NewToken(g.Context(), g.keys, "script", right, "test")
	if err != nil {
		g.Fatal(err)
	}
	g.ask("GET", "/v1/about", "", "Authorization: Bearer "+secret) // a stop does not look for keys that are new
	return "Authorization: Bearer " + secret
}

// Each route of the table is called by nobody, by who may watch and by who may operate. To nobody only the pages, the
// pairing, the short word about the program, and Stop if it is open, answer.
func TestEveryRouteAsksForItsRight(t *testing.T) {
	for _, stopOpen := range []bool{true, false} {
		g := newGuarded(t, stopOpen)
		watch, operate := []string{g.token(guard.Watch)}, g.pair("Ana's phone", guard.Operate)
		answered := []string{}
		for _, r := range g.server.Routes() {
			path := strings.NewReplacer("{printer}", "p1", "{run}", "r1", "{material}", "m1", "{access}", "a99", "{code}", "store").Replace(r.Path)
			open := r.Right == guard.Open || r.Right == guard.Stopping && stopOpen
			if got := g.ask(r.Method, path, "").Code; (got != http.StatusUnauthorized) != open {
				t.Errorf("stop open %t: nobody's %s %s: %d", stopOpen, r.Method, r.Path, got)
			} else if open {
				answered = append(answered, r.Method+" "+r.Path)
			}
			for name, header := range map[string][]string{"watch": watch, "operate": operate} {
				got := g.ask(r.Method, path, "", header...).Code
				refused := got == http.StatusUnauthorized || got == http.StatusForbidden
				allowed := name == "operate" || r.Right != guard.Operate && !strings.HasSuffix(r.Path, "{access}")
				if r.Path == "/v1/pair" {
					continue // refused for want of a body
				}
				if refused == allowed {
					t.Errorf("stop open %t: %s's %s %s: %d", stopOpen, name, r.Method, r.Path, got)
				}
			}
		}
		t.Logf("%d routes, stop open %t: to nobody answer %q", len(g.server.Routes()), stopOpen, answered)
		for _, ask := range []string{"GET /v1", "GET /v1/", "GET /v1/nothing", "DELETE /v1/runs", "OPTIONS /v1/runs", "GET /problems/none", "GET /v1/demo/look",
			"PATCH /v1/about", "GET /v1//about", "GET /v1/printers/p1/stop", "POST /v1/printers/p1/stop/"} {
			method, path, _ := strings.Cut(ask, " ")
			g.problem(g.ask(method, path, ""), "unpaired")
		}
		if w := g.ask("GET", "/", ""); w.Code != 200 || w.Body.String() != "a page" {
			t.Errorf("the page: %d %s", w.Code, w.Body)
		}
		if w := g.ask("GET", "/v1/printers", ""); w.Header().Get("WWW-Authenticate") == "" { // RFC 9110 section 15.5.2
			t.Error("a 401 without WWW-Authenticate")
		}
	}
}

// What the program says of itself to whom, and over what.
func TestAboutIsShortForStrangers(t *testing.T) {
	g := newGuarded(t, true)
	about := func(header ...string) map[string]any {
		var said map[string]any
		if err := json.Unmarshal(g.ask("GET", "/v1/about", "", header...).Body.Bytes(), &said); err != nil {
			t.Fatal(err)
		}
		return said
	}
	said := about()
	if said["paired"] != false || fmt.Sprint(said["stops"]) != "[/v1/printers/p1/stop]" || said["store_id"] != nil || said["version"] != nil {
		t.Errorf("to a stranger: %v", said)
	}
	if network, _ := said["network"].(string); !strings.Contains(network, "people on the same network can listen") {
		t.Errorf("over plain HTTP: %q", network)
	}
	if said := about(g.pair("Ana's phone", guard.Watch)...); said["name"] != "Ana's phone" || said["right"] != "watch" || said["access"] != "a1" || said["store_id"] != "s1" {
		t.Errorf("to a phone: %v", said)
	}
	if said := newGuarded(t, false); !strings.Contains(said.ask("GET", "/v1/about", "").Body.String(), `"stops":[]`) {
		t.Error("stops are shown although they are not open")
	}
}

// A phone takes its own key away with any right, that of others only if it may operate. The record says who.
func TestPhonesAreListedAndRevoked(t *testing.T) {
	g := newGuarded(t, true)
	ana, bo := g.pair("Ana's phone", guard.Operate), g.pair("Bo's phone", guard.Watch)
	script := g.token(guard.Watch)
	g.problem(g.ask("GET", "/v1/access", "", bo...), "not_allowed")
	g.problem(g.ask("DELETE", "/v1/access/a1", "", bo...), "not_allowed")
	g.problem(g.ask("DELETE", "/v1/access/a1", "", script), "not_allowed")
	g.problem(g.ask("DELETE", "/v1/access/a9", "", ana...), "no_access")
	if w := g.ask("GET", "/v1/access", "", ana...); strings.Count(w.Body.String(), `"id"`) != 3 {
		t.Errorf("the list: %s", w.Body)
	}
	for _, c := range []struct {
		id string
		by []string
	}{{"a2", bo}, {"a3", ana}, {"a1", ana}} {
		if w := g.ask("DELETE", "/v1/access/"+c.id, "", c.by...); w.Code != http.StatusNoContent {
			t.Errorf("revoke %s: %d %s", c.id, w.Code, w.Body)
		}
	}
	for _, header := range [][]string{ana, bo, {script}} {
		g.problem(g.ask("GET", "/v1/printers", "", header...), "unpaired")
	}
	events, err := g.keys.Events(t.Context(), logbook.Filter{Kind: "access revoked"})
	said := ""
	for _, e := range events {
		said += e.Who + " revoked " + e.Name + "; "
	}
	if err != nil || said != "Bo's phone revoked Bo's phone; Ana's phone revoked script; Ana's phone revoked Ana's phone; " {
		t.Errorf("the record says %s %v", said, err)
	}
}

// Pairing over the API: what a phone is told when it is wrong, and who it is in the record afterwards.
func TestPairingOverTheAPI(t *testing.T) {
	g := newGuarded(t, true)
	body := func(code string) string { return fmt.Sprintf(`{"code":%q,"name":"Ana's phone"}`, code) }
	g.problem(g.ask("POST", "/v1/pair", body("123456789")), "pairing_shut")
	if err := g.server.Guard.Open(t.Context(), guard.Operate); err != nil {
		t.Fatal(err)
	}
	for _, bad := range []string{`{"name":"x"}`, `{"code":"123456789"}`, `{"code":"12345678","name":"x"}`, `{"code":"123456789","key":"k","name":"x"}`,
		`{"code":"123456789","name":"a\u0000"}`, `{"code":123456789,"name":"x"}`} {
		g.problem(g.ask("POST", "/v1/pair", bad), "invalid")
	}
	if p := g.problem(g.ask("POST", "/v1/pair", `{"key":"`+strings.Repeat("A", 43)+`","name":"x"}`), "wrong_code"); p["tries_left"] != float64(4) {
		t.Errorf("%v", p)
	}
	g.problem(g.ask("POST", "/v1/pair", body(g.invited.Code), "Origin: http://evil.example"), "foreign_origin")
	w := g.ask("POST", "/v1/pair", `{"key":"`+g.invited.Key+`","name":"Ana's phone"}`, `Idempotency-Key: "k"`)
	if w.Code != http.StatusCreated || w.Header().Get("Location") != "/v1/access/a1" {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	g.problem(g.ask("POST", "/v1/pair", `{"key":"`+g.invited.Key+`","name":"Ana's phone"}`, `Idempotency-Key: "k"`), "pairing_shut")
	g.ask("POST", "/v1/runs", anOrder, "Origin: http://board.local:7340", "Cookie: "+w.Result().Cookies()[0].String())
	if who := g.runner.order.Who; who != "Ana's phone" {
		t.Errorf("the run was begun by %q", who)
	}
}

// After pairings, tokens and refusals no secret is in the log, in the store's files, or in an answer but the one
// that gave it.
func TestSecretsAreNowhereElse(t *testing.T) {
	g := newGuarded(t, true)
	phone := g.pair("Ana's phone", guard.Operate)
	secrets := []string{strings.SplitN(strings.SplitN(phone[1], "=", 2)[1], ";", 2)[0], strings.TrimPrefix(g.token(guard.Operate), "Authorization: Bearer ")}
	if err := g.server.Guard.Open(t.Context(), guard.Operate); err != nil {
		t.Fatal(err)
	}
	secrets = append(secrets, g.invited.Key, g.invited.Code, strings.ReplaceAll(g.invited.Code, " ", ""))
	said := ""
	for _, path := range []string{"/v1/about", "/v1/access", "/v1/events", "/v1/ports?token=" + secrets[1], "/v1/nothing?key=" + secrets[2]} {
		w := g.ask("GET", path, "", phone...)
		said += w.Body.String() + fmt.Sprint(w.Header())
	}
	g.book.fail = logbook.ErrStore
	for _, header := range [][]string{phone, {"Authorization: Bearer " + secrets[1]}, {"Authorization: Bearer " + secrets[2]}} {
		w := g.ask("POST", "/v1/runs", anOrder, append(header, `Idempotency-Key: "k"`)...)
		said += w.Body.String() + fmt.Sprint(w.Header())
	}
	if g.log.Len() == 0 {
		t.Error("nothing was logged, so that nothing could be found")
	}
	bytesRead := len(said) + g.log.Len()
	texts := map[string]string{"an answer": said, "the log": g.log.String()}
	files, err := filepath.Glob(g.folder + "/*")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, file := range files {
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		texts[file] = string(raw)
		bytesRead += len(raw)
	}
	finds := 0
	for where, text := range texts {
		for _, secret := range secrets {
			if strings.Contains(text, secret) {
				finds++
				t.Errorf("%s holds a secret", where)
			}
		}
	}
	t.Logf("%d secrets, %d bytes of answers, log and store: %d finds", len(secrets), bytesRead, finds)
}
