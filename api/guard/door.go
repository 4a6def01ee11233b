package guard

import (
	"context"
	"net/http"
	"strings"
	"time"
)

// Refuse answers somebody who is not let in.
type Refuse func(w http.ResponseWriter, r *http.Request, why error)

// Door lets a request through to next when it is called by a name of ours, comes from no page of others, and does not
// come too fast. Who sent it is known behind the door: From tells. hasty reports requests that may come at any rate.
func (g *Guard) Door(next http.Handler, refuse Refuse, hasty func(*http.Request) bool) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if err := g.admit(r); err != nil {
			refuse(w, r, err)
			return
		}
		quick := hasty(r)
		if g.Store != nil && !quick && !g.rates.take(peer(r)) {
			linger(r.Context())
			refuse(w, r, ErrTooMany)
			return
		}
		caller, held := g.identify(r, !quick)
		ctx, leave := held.enter(context.WithValue(r.Context(), callerKey{}, caller))
		defer leave()
		next.ServeHTTP(w, r.WithContext(ctx))
	})
}

// haste is how long somebody waits for the answer that he comes too fast. With the limit on his connections it bounds what
// he can make us do.
const haste = 250 * time.Millisecond

func linger(ctx context.Context) {
	timer := time.NewTimer(haste)
	defer timer.Stop()
	select {
	case <-timer.C:
	case <-ctx.Done():
	}
}

// Allow says whether the one who sent r may do what needs a right: nil, ErrUnpaired or ErrNotAllowed.
func (g *Guard) Allow(r *http.Request, need Right) error {
	c := From(r.Context())
	switch {
	case g.allows(c, need):
		return nil
	case c.Right == "":
		return ErrUnpaired
	}
	return ErrNotAllowed
}

// Caller is who sent a request.
type Caller struct {
	ID    string // of the key; empty where there is none
	Name  string // what the logbook calls him
	Right Right  // empty: not paired
}

type callerKey struct{}

// From tells who sent the request of a context.
func From(ctx context.Context) Caller {
	c, _ := ctx.Value(callerKey{}).(Caller)
	return c
}

const (
	thisComputer = "this computer"
	unpaired     = "somebody not paired"
)

// identify finds the key of a request. A bearer token counts from anywhere; a cookie counts only where no page of
// others can have sent it along. look allows a look into the store for a key that is not in memory yet.
func (g *Guard) identify(r *http.Request, look bool) (Caller, *key) {
	if g.Store == nil {
		return Caller{Name: thisComputer, Right: Operate}, nil
	}
	for _, secret := range g.secrets(r) {
		if k := g.ring.find(secret); k != nil {
			return k.caller(), k
		}
		if !look {
			continue
		}
		if err := g.ring.refresh(r.Context(), g.Store); err != nil {
			g.told(r.Context(), "look for a key", err)
		} else if k := g.ring.find(secret); k != nil {
			return k.caller(), k
		}
	}
	return Caller{Name: unpaired}, nil
}

// mostSecrets is how many cookies of our name are tried: another service of this computer can plant some.
const mostSecrets = 4

// secrets are what may be the key of a request.
func (g *Guard) secrets(r *http.Request) []string {
	if values := r.Header.Values("Authorization"); len(values) > 0 {
		scheme, token, _ := strings.Cut(values[0], " ")
		if len(values) > 1 || !strings.EqualFold(scheme, "Bearer") {
			return nil
		}
		return plausible(nil, strings.Trim(token, " "))
	}
	if !cookieCounts(r) {
		return nil
	}
	var found []string
	for _, c := range r.CookiesNamed(g.CookieName(r)) {
		found = plausible(found, c.Value)
	}
	return found
}

// plausible adds what has the length of a key.
func plausible(found []string, secret string) []string {
	if len(secret) != secretLength || len(found) == mostSecrets {
		return found
	}
	return append(found, secret)
}
