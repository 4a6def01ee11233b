package api_test

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
)

const anOrder = `{"printer":"p1","routine":"feed_check","material":"m1","inputs":{"passes":3},"attended":true}`

// TestRepeatsAreDoneOnce sends 2,000 requests under 500 keys, in random order and from 8 senders at once.
func TestRepeatsAreDoneOnce(t *testing.T) {
	b := newBench(t)
	b.Handler = b.server.Handler() // TestAKeyIsSpentOnOneRequest holds the answers to the document
	const keys, repeats = 500, 4
	order := rand.New(rand.NewPCG(3, 4)).Perm(keys * repeats)
	work := make(chan int)
	var senders sync.WaitGroup
	for range 8 {
		senders.Go(func() {
			for n := range work {
				w := b.ask("POST", "/v1/runs", anOrder, fmt.Sprintf(`Idempotency-Key: "key-%d"`, n%keys))
				if w.Code != http.StatusCreated && w.Code != http.StatusConflict {
					t.Errorf("%d %s", w.Code, w.Body)
				}
			}
		})
	}
	for _, n := range order {
		work <- n
	}
	close(work)
	senders.Wait()
	if n := b.runner.done.Load(); n != keys {
		t.Errorf("%d effects of %d keys", n, keys)
	}
	t.Logf("%d requests, %d keys, %d effects", keys*repeats, keys, b.runner.done.Load())
}

func TestAKeyIsSpentOnOneRequest(t *testing.T) {
	b := newBench(t)
	first := b.ask("POST", "/v1/runs", anOrder, `Idempotency-Key: "8e03978e-40d5"`)
	again := b.ask("POST", "/v1/runs", anOrder, `Idempotency-Key: 8e03978e-40d5`)
	if first.Code != 201 || again.Code != 201 || first.Body.String() != again.Body.String() || again.Header().Get("Location") != "/v1/runs/r1" {
		t.Errorf("%d %s, then %d %s at %q", first.Code, first.Body, again.Code, again.Body, again.Header().Get("Location"))
	}
	if first.Header().Get("Idempotency-Replayed") != "" || again.Header().Get("Idempotency-Replayed") != "true" {
		t.Error("a replay does not say so, or an original does")
	}
	other := strings.Replace(anOrder, "3", "4", 1)
	if w := b.ask("POST", "/v1/runs", other, `Idempotency-Key: 8e03978e-40d5`); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("the key on another body: %d", w.Code)
	}
	if w := b.ask("POST", "/v1/runs/r1/take-back", "", `Idempotency-Key: 8e03978e-40d5`); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("the key on another path: %d", w.Code)
	}
	if n := b.runner.done.Load(); n != 1 {
		t.Errorf("%d effects", n)
	}
	for _, key := range []string{`""`, `"x`, `"a"b"`, "a b", "é", strings.Repeat("x", 129), `"a";p=1`} {
		b.problem(b.ask("POST", "/v1/runs", anOrder, "Idempotency-Key: "+key), "bad_key")
	}
}

// TestARefusalIsKeptAndAFailureIsNot: what a person can mend is an answer like another; what failed inside may be tried again.
func TestARefusalIsKeptAndAFailureIsNot(t *testing.T) {
	b := newBench(t)
	b.runner.fail = errors.New("disk on fire")
	b.problem(b.ask("POST", "/v1/runs", anOrder, "Idempotency-Key: a"), "internal")
	b.runner.fail = nil
	if w := b.ask("POST", "/v1/runs", anOrder, "Idempotency-Key: a"); w.Code != 201 || w.Header().Get("Idempotency-Replayed") != "" {
		t.Errorf("after a failure: %d", w.Code)
	}
	b.problem(b.ask("POST", "/v1/runs", "{}", "Idempotency-Key: b"), "invalid")
	w := b.ask("POST", "/v1/runs", "{}", "Idempotency-Key: b")
	if b.problem(w, "invalid"); w.Header().Get("Idempotency-Replayed") != "true" {
		t.Error("a refusal is worked out twice")
	}
}

// TestAKeyOutlivesItsClient: the client goes away in the middle; what it asked is seen through, and it can ask again.
func TestAKeyOutlivesItsClient(t *testing.T) {
	b := newBench(t)
	begun, finish := make(chan bool, 2), make(chan bool)
	b.runner.line = func(ctx context.Context) ([]string, error) {
		begun <- true
		<-finish
		return []string{"said"}, ctx.Err()
	}
	client, leave := context.WithCancel(t.Context())
	served := make(chan bool)
	go func() {
		defer close(served)
		r := httptest.NewRequestWithContext(client, "POST", "/v1/printers/p1/lines", strings.NewReader(`{"line":"M105"}`))
		r.Host = "localhost"
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set("Idempotency-Key", "k")
		b.ServeHTTP(httptest.NewRecorder(), r)
	}()
	<-begun
	b.problem(b.ask("POST", "/v1/printers/p1/lines", `{"line":"M105"}`, "Idempotency-Key: k"), "key_running")
	leave()
	close(finish)
	<-served
	w := b.ask("POST", "/v1/printers/p1/lines", `{"line":"M105"}`, "Idempotency-Key: k")
	if w.Code != 200 || w.Header().Get("Idempotency-Replayed") != "true" || b.runner.done.Load() != 1 {
		t.Errorf("%d %s, %d effects", w.Code, w.Body, b.runner.done.Load())
	}
}
