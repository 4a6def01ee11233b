package guard_test

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"fettle/api/guard"
	"fettle/routines/logbook"
)

// What the agent wires is what is asked for here.
var _ guard.Store = (*logbook.Book)(nil)

// bench is a guard over a real store, before a handler that needs a right.
type bench struct {
	testing.TB
	*guard.Guard
	book    *logbook.Book
	need    guard.Right
	told    sync.Mutex
	shown   []guard.Invitation
	refused error
	caller  guard.Caller
	peers   uint32
	door    http.Handler // the same for many at once
	http.Handler
}

func newBench(t testing.TB, change ...func(*guard.Config)) *bench {
	t.Helper()
	book, err := logbook.Open(t.Context(), filepath.Join(t.TempDir(), "logbook.db"))
	if err != nil {
		t.Fatal(err)
	}
	b := &bench{TB: t, book: book, need: guard.Operate}
	t.Cleanup(func() { book.Close() })
	c := guard.Config{Store: book, Names: []string{"board.local", "printers.lan", "10.9.9.9", "fd00::9"}, StopOpen: true,
		Invite: b.invite, Log: slog.New(slog.DiscardHandler)}
	for _, f := range change {
		f(&c)
	}
	b.Guard = guard.New(c)
	b.Handler = b.Door(http.HandlerFunc(b.inside), b.refuse, hasty)
	b.door = b.Door(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if b.Allow(r, b.need) != nil {
			w.WriteHeader(http.StatusTeapot)
		}
	}), func(w http.ResponseWriter, _ *http.Request, _ error) { w.WriteHeader(http.StatusTeapot) }, hasty)
	return b
}

func hasty(r *http.Request) bool { return strings.HasSuffix(r.URL.Path, "/stop") }

func (b *bench) invite(in guard.Invitation) {
	b.told.Lock()
	defer b.told.Unlock()
	b.shown = append(b.shown, in)
}

// invited is what the person at the computer was shown.
func (b *bench) invited() []guard.Invitation {
	b.told.Lock()
	defer b.told.Unlock()
	return slices.Clone(b.shown)
}

func (b *bench) inside(w http.ResponseWriter, r *http.Request) {
	b.caller = guard.From(r.Context())
	if err := b.Allow(r, b.need); err != nil {
		b.refuse(w, r, err)
	}
}

func (b *bench) refuse(w http.ResponseWriter, _ *http.Request, err error) {
	b.refused = err
	w.WriteHeader(http.StatusTeapot)
}

// request is one as a browser or a script sends it; header lines are "Name: value". Each comes from another address
// unless From says otherwise.
func (b *bench) request(method, path string, header ...string) *http.Request {
	b.Helper()
	var body string
	if method == http.MethodPost || method == http.MethodPut {
		body = "{}"
	}
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.Host = "board.local:7340"
	b.peers++
	r.RemoteAddr = fmt.Sprintf("10.%d.%d.%d:5000", b.peers>>16&255, b.peers>>8&255, b.peers&255)
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for _, line := range header {
		name, value, _ := strings.Cut(line, ": ")
		switch name {
		case "Host":
			r.Host = value
		case "From":
			r.RemoteAddr = value
		case "At":
			tcp, err := net.ResolveTCPAddr("tcp", value)
			if err != nil {
				b.Fatal(err)
			}
			r = r.WithContext(context.WithValue(r.Context(), http.LocalAddrContextKey, net.Addr(tcp)))
		case "Cookie":
			r.Header.Add(name, value)
		default:
			r.Header.Set(name, value)
		}
	}
	return r
}

// ask reports why a request is refused; nil where it is let through.
func (b *bench) ask(method, path string, header ...string) error {
	b.Helper()
	b.refused, b.caller = nil, guard.Caller{}
	b.ServeHTTP(httptest.NewRecorder(), b.request(method, path, header...))
	return b.refused
}

// phone pairs a phone and returns its cookie.
func (b *bench) phone(name string, right guard.Right) string {
	b.Helper()
	if err := b.Open(b.Context(), right); err != nil {
		b.Fatal(err)
	}
	secret, _, err := b.Pair(b.Context(), guard.Attempt{Code: b.invited()[len(b.invited())-1].Code, Name: name})
	if err != nil {
		b.Fatal(err)
	}
	return b.CookieName(b.request("GET", "/")) + "=" + secret
}

func (b *bench) token(name string, right guard.Right) string {
	b.Helper()
	secret, _, err := guard.NewToken(b.Context(), b.book, name, right, "test")
	if err != nil {
		b.Fatal(err)
	}
	return secret
}

func (b *bench) want(err, want error, what ...any) {
	b.Helper()
	if !errors.Is(err, want) || (want == nil) != (err == nil) {
		b.Errorf("%v: %v, want %v", fmt.Sprint(what...), err, want)
	}
}
