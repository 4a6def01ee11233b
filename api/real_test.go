package api_test

import (
	"bufio"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"path/filepath"
	"strings"
	"testing"

	"fettle/api"
	"fettle/api/held"
	"fettle/routines/logbook"
	"fettle/routines/runner"
)

// What the agent wires is what is asked for here.
var (
	_ api.Runner = (*runner.Runner)(nil)
	_ api.Book   = (*logbook.Book)(nil)
)

// reopen is an api over the real runner, without a printer, and the real logbook in a file.
func reopen(t *testing.T, path string) (*bench, *logbook.Book) {
	t.Helper()
	book, err := logbook.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	b := newBench(t, func(c *api.Config) {
		c.Book = book
		c.Runner = runner.New(runner.Config{Book: book, Routines: c.Routines, Log: c.Log})
	})
	return b, book
}

// TestRepeatsOverRestarts: 100 requests are sent 1 to 5 times each, reordered, to a store that is closed and opened
// again 5 times. Each has one effect, and the same answer every time.
func TestRepeatsOverRestarts(t *testing.T) {
	path := filepath.Join(t.TempDir(), "logbook.db")
	random := rand.New(rand.NewPCG(5, 6))
	const keys, restarts = 100, 5
	var sends []int
	for key := range keys {
		for range 1 + random.IntN(5) {
			sends = append(sends, key)
		}
	}
	random.Shuffle(len(sends), func(i, j int) { sends[i], sends[j] = sends[j], sends[i] })
	answers, replays := map[int]string{}, 0
	for life := range restarts {
		b, book := reopen(t, path)
		b.Handler = b.server.Handler()
		if life == 0 {
			b.Handler = held.Hold(t, b.Handler)
		}
		for _, key := range sends[life*len(sends)/restarts : (life+1)*len(sends)/restarts] {
			body := fmt.Sprintf(`{"id":"m-%d","name":"Invented %d","nozzle_c":210,"nozzle_min_c":190,"nozzle_max_c":230}`, key, key)
			w := b.ask("POST", "/v1/materials", body, fmt.Sprintf(`Idempotency-Key: "k%d"`, key))
			answer := fmt.Sprint(w.Code, w.Header().Get("Location"), w.Body)
			if w.Code != http.StatusCreated || answers[key] != "" && answers[key] != answer {
				t.Errorf("key %d: %s, before %s", key, answer, answers[key])
			}
			if w.Header().Get("Idempotency-Replayed") != "" {
				replays++
			}
			answers[key] = answer
		}
		if err := book.Close(); err != nil {
			t.Fatal(err)
		}
	}
	b, book := reopen(t, path)
	defer book.Close()
	effects := strings.Count(b.ask("GET", "/v1/events", "").Body.String(), `"kind":"material changed"`)
	if effects != keys || replays != len(sends)-keys {
		t.Errorf("%d effects of %d keys, %d replays of %d requests", effects, keys, replays, len(sends))
	}
	t.Logf("%d requests over %d lives, %d keys, %d effects, %d replays", len(sends), restarts, keys, effects, replays)
}

// TestTheRealStoreAsksAndAnswers reads back over the API what the real logbook holds.
func TestTheRealStoreAsksAndAnswers(t *testing.T) {
	b, book := reopen(t, filepath.Join(t.TempDir(), "logbook.db"))
	defer book.Close()
	for range 3 * 256 { // more than one batch of the stream
		if _, err := book.Commit(t.Context(), logbook.Step{Events: []logbook.Event{{Kind: "noted", Body: json.RawMessage(`{"x":1}`)}}}); err != nil {
			t.Fatal(err)
		}
	}
	last := int64(0)
	lines := bufio.NewScanner(b.ask("GET", "/v1/events?after=0", "").Body)
	for lines.Scan() {
		var e logbook.Event
		if err := json.Unmarshal(lines.Bytes(), &e); err != nil || e.Seq <= last {
			t.Fatalf("%s %v", lines.Text(), err)
		}
		last = e.Seq
	}
	if last != book.Last() {
		t.Errorf("the stream ends at %d, the store at %d", last, book.Last())
	}
	for path, code := range map[string]string{"/v1/runs/r1": "no_run", "/v1/printers/p1": "no_printer", "/v1/materials/m1": "no_material", "/v1/printers/p1/wire": "no_printer"} {
		b.problem(b.ask("GET", path, ""), code)
	}
	b.problem(b.ask("POST", "/v1/runs", anOrder), "invalid")
	b.problem(b.ask("POST", "/v1/printers", `{"name":"p","port":"/dev/x","baud":115200}`), "not_running")
	for _, path := range []string{"/v1/runs", "/v1/printers", "/v1/materials", "/v1/logbook"} {
		if w := b.ask("GET", path, ""); w.Code != 200 || !strings.Contains(w.Body.String(), "[]") {
			t.Errorf("%s: %d %s", path, w.Code, w.Body)
		}
	}
}
