package guard

import (
	"net/netip"
	"sync"
	"time"
)

// The rate of requests from one address. What is saved up is for a page that loads its parts.
const (
	ratePerS  = 50
	savedUp   = 150
	mostRates = 1024 // addresses that are remembered
)

// rates are a bucket for each address.
type rates struct {
	mu      sync.Mutex
	buckets map[netip.Addr]bucket
}

type bucket struct {
	left float64
	at   time.Time
}

// take reports whether one more request from an address is within its rate.
func (r *rates) take(from netip.Addr) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	now := time.Now()
	b, known := r.buckets[from]
	if !known {
		r.makeRoom(now)
		b = bucket{savedUp, now}
	}
	b.left = min(savedUp, b.left+now.Sub(b.at).Seconds()*ratePerS)
	b.at = now
	ok := b.left >= 1
	if ok {
		b.left--
	}
	r.buckets[from] = b
	return ok
}

// makeRoom forgets who would have a full bucket by now; where that is not enough, everybody.
func (r *rates) makeRoom(now time.Time) {
	if r.buckets == nil {
		r.buckets = map[netip.Addr]bucket{}
	}
	if len(r.buckets) < mostRates {
		return
	}
	for from, b := range r.buckets {
		if b.left+now.Sub(b.at).Seconds()*ratePerS >= savedUp {
			delete(r.buckets, from)
		}
	}
	if len(r.buckets) >= mostRates {
		clear(r.buckets)
	}
}
