package guard

import (
	"context"
	"crypto/sha256"
	"crypto/subtle"
	"sync"

	"fettle/routines/logbook"
)

// ring holds the keys as they are in the store, so that a request needs no disk.
type ring struct {
	reading sync.Mutex // one look into the store at a time, so that an older one never replaces a newer one

	mu   sync.Mutex
	keys map[string]*key
}

// key is one access, with all that its holder has open.
type key struct {
	access logbook.Access  // does not change
	ctx    context.Context // its cause is ErrRevoked
	revoke context.CancelCauseFunc
	used   bool // since that was last written down; the ring's mu
}

func (k *key) caller() Caller {
	return Caller{ID: k.access.ID, Name: k.access.Name, Right: Right(k.access.Right)}
}

// enter lets a request end when its key is revoked. Without a key it ends by itself alone.
func (k *key) enter(ctx context.Context) (context.Context, func()) {
	if k == nil {
		return ctx, func() {}
	}
	ctx, cut := context.WithCancelCause(ctx)
	release := context.AfterFunc(k.ctx, func() { cut(context.Cause(k.ctx)) })
	return ctx, func() { release(); cut(nil) }
}

// refresh takes the keys over from the store. What is no longer there is revoked.
func (r *ring) refresh(ctx context.Context, store Store) error {
	r.reading.Lock()
	defer r.reading.Unlock()
	all, err := store.Accesses(ctx)
	if err != nil {
		return err
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	old := r.keys
	r.keys = make(map[string]*key, len(all))
	for _, a := range all {
		k := old[a.ID]
		if k == nil || k.access.Hash != a.Hash || k.access.Right != a.Right {
			k = newKey(a)
		}
		r.keys[a.ID] = k
	}
	for id, k := range old {
		if r.keys[id] != k {
			k.revoke(ErrRevoked)
		}
	}
	return nil
}

func newKey(a logbook.Access) *key {
	k := &key{access: a}
	k.ctx, k.revoke = context.WithCancelCause(context.Background())
	return k
}

// find returns the key that a secret is, or nil. It compares with every key, whichever fits.
func (r *ring) find(secret string) *key {
	hash := sha256.Sum256([]byte(secret))
	r.mu.Lock()
	defer r.mu.Unlock()
	var found *key
	for _, k := range r.keys {
		if subtle.ConstantTimeCompare(hash[:], k.access.Hash[:]) == 1 {
			found = k
		}
	}
	if found != nil {
		found.used = true
	}
	return found
}

func (r *ring) empty() bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	return len(r.keys) == 0
}

// takeUsed lists the keys that were used since the last time.
func (r *ring) takeUsed() []string {
	r.mu.Lock()
	defer r.mu.Unlock()
	var ids []string
	for id, k := range r.keys {
		if k.used {
			ids = append(ids, id)
			k.used = false
		}
	}
	return ids
}
