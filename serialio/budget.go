package serialio

import "time"

// perMinute is how many lines may be sent again or asked after within a minute.
const perMinute = 64

// budget keeps a noisy cable from turning into a storm.
type budget struct {
	spent [perMinute]Mono
	n     int
}

// take spends one, or reports that the minute's are gone.
func (b *budget) take(now Mono) bool {
	oldest := &b.spent[b.n%perMinute]
	if b.n >= perMinute && now-*oldest < time.Minute {
		return false
	}
	*oldest = now
	b.n++
	return true
}
