package serialio

import "time"

const (
	// perMinute is how many lines may be sent again or asked after within a minute.
	perMinute = 64
	// surplusPerMinute is how many oks too many are looked into within a minute. Each costs a question, and a board that
	// says ok twice at every line is not understood.
	surplusPerMinute = 8
)

// budget keeps a noisy cable from turning into a storm: so much of something within a minute, and no more.
type budget struct {
	spent [perMinute]Mono
	n     int
}

// take spends one of most, which is at most perMinute, or reports that the minute's are gone.
func (b *budget) take(now Mono, most int) bool {
	oldest := &b.spent[b.n%most]
	if b.n >= most && now-*oldest < time.Minute {
		return false
	}
	*oldest = now
	b.n++
	return true
}
