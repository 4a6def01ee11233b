// Package guard stands at the door: who may come in, from where, under which name, and how much at once.
//
// Owns: the checks before a route (Host, Origin, kind of body, rate, key), the pairing window, the keys in memory, the
// limits on connections, the agent's own certificate.
// Guarantees: without a key nothing is allowed but what the table says is open; a key is stored and compared as its
// SHA-256 alone; revoking one ends what its holder still has open; a stop is checked without touching the disk and is
// never refused for haste.
// Does not do: routes, answers, cryptography of its own. With a plain HTTP listener it cannot keep anybody on the same
// network from listening.
// Read next: door.go for the way of a request, pairing.go for how a phone gets its key, ring.go for the keys.
package guard

import (
	"context"
	"errors"
	"log/slog"
	"net/netip"
	"sync"
	"time"

	"fettle/routines/logbook"
)

// Why somebody is refused.
var (
	ErrForeignHost    = errors.New("the Host is no name of ours")
	ErrForeignOrigin  = errors.New("the Origin is not ours")
	ErrNotJSON        = errors.New("the body is not JSON")
	ErrTokenInAddress = errors.New("a token stands in the address")
	ErrTooMany        = errors.New("too many requests from one address")
	ErrUnpaired       = errors.New("no key, or none that counts here")
	ErrNotAllowed     = errors.New("the key is not allowed that")
	ErrShut           = errors.New("the pairing window is shut")
	ErrName           = errors.New("the name is none that can be shown")
	ErrCode           = errors.New("the code is not nine digits")
	ErrNoKey          = errors.New("there is no such key")
	ErrRevoked        = errors.New("the key was revoked") // the cause with which what its holder had open ends
)

// Store is where keys and the pairing window are kept. Another process may write to it at any time.
type Store interface {
	StoreID() string
	Accesses(context.Context) ([]logbook.Access, error)
	GiveAccess(ctx context.Context, a logbook.Access, who string) (logbook.Access, error)
	RevokeAccess(ctx context.Context, id, who string) error
	UsedAccess(ctx context.Context, id string) error
	EndIdleAccess(ctx context.Context, idle time.Duration) error
	Windows
}

// Windows is the part of a Store that pairing needs.
type Windows interface {
	OpenPairing(context.Context, logbook.Pairing) error
	Pairing(context.Context) (logbook.Pairing, error)
	TryPairing(context.Context) (logbook.Pairing, error)
	Pair(ctx context.Context, window string, a logbook.Access) (logbook.Access, error)
	ShutPairing(ctx context.Context, window string) error
}

// Config is what a Guard is made of.
type Config struct {
	// Store may be nil where only this computer can call: then everybody is "this computer" and may do everything. The
	// checks of Host and Origin stay.
	Store Store
	// Names are those by which the agent may be called beside localhost and the address a connection came in at: names
	// of machines, or addresses, without a port.
	Names []string
	// StopOpen lets anybody press Stop who can reach the agent.
	StopOpen bool
	// Invite tells the person at this computer, and nobody else, how to pair a phone.
	Invite func(Invitation)
	// Strict asks browsers to come back by TLS alone. It is for a certificate that they trust.
	Strict bool
	Log    *slog.Logger
}

// Guard is the door of one agent.
type Guard struct {
	Config
	cookie string // the name of ours, without a prefix
	addrs  []netip.Addr
	ring   ring
	rates  rates

	mu     sync.Mutex
	window window // as it was seen in the store
}

// window is the pairing window with the time since when it is known, which no jump of a clock can change.
type window struct {
	id    string
	since time.Time
}

// New makes a Guard and starts nothing.
func New(c Config) *Guard {
	g := &Guard{Config: c}
	if c.Log == nil {
		g.Log = slog.New(slog.DiscardHandler)
	}
	for _, name := range c.Names {
		if a, err := netip.ParseAddr(name); err == nil {
			g.addrs = append(g.addrs, a.Unmap())
		}
	}
	if c.Store != nil {
		g.cookie = cookieName(c.Store.StoreID())
	}
	return g
}

// Closed reports whether a key is asked for here at all.
func (g *Guard) Closed() bool { return g.Store != nil }

// How often the store is looked at, and the use of keys written down.
const (
	followEvery = time.Second
	noteEvery   = time.Hour
	idleAfter   = 30 * 24 * time.Hour
)

// Run follows the store until ctx ends: keys that others make and revoke, and the pairing window. If nobody has a key
// yet it opens the window first; one that an earlier life left open is shut.
func (g *Guard) Run(ctx context.Context) error {
	if g.Store == nil {
		<-ctx.Done()
		return nil
	}
	g.told(ctx, "begin to guard", g.begin(ctx))
	follow, note := time.NewTicker(followEvery), time.NewTicker(noteEvery)
	defer follow.Stop()
	defer note.Stop()
	for {
		select {
		case <-ctx.Done():
			return nil
		case <-follow.C:
			g.told(ctx, "follow the keys", g.follow(ctx))
		case <-note.C:
			g.told(ctx, "note the use of keys", g.note(ctx))
		}
	}
}

func (g *Guard) begin(ctx context.Context) error {
	if p, err := g.Store.Pairing(ctx); err == nil {
		if err := g.Store.ShutPairing(ctx, p.ID); err != nil {
			return err
		}
	}
	if err := g.ring.refresh(ctx, g.Store); err != nil {
		return err
	}
	if g.ring.empty() {
		return g.Open(ctx, Operate)
	}
	return g.note(ctx)
}

func (g *Guard) follow(ctx context.Context) error {
	return errors.Join(g.ring.refresh(ctx, g.Store), g.watchWindow(ctx))
}

// note writes down which keys were used, and takes away what was long not used.
func (g *Guard) note(ctx context.Context) error {
	var failed error
	for _, id := range g.ring.takeUsed() {
		failed = errors.Join(failed, g.Store.UsedAccess(ctx, id))
	}
	failed = errors.Join(failed, g.Store.EndIdleAccess(ctx, idleAfter))
	return errors.Join(failed, g.ring.refresh(ctx, g.Store))
}

// told logs a failure of the store. The keys in memory stay as they are: whoever is in may go on looking and stopping.
func (g *Guard) told(ctx context.Context, doing string, err error) {
	if err != nil && ctx.Err() == nil {
		g.Log.Error(doing, "err", err)
	}
}
