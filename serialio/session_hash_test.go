package serialio

import "strconv"

// hash folds the effects of a conversation into one number, so that two runs can be compared (FNV-1a, 64 bits).
type hash uint64

const (
	newHash   hash = 14695981039346656037
	hashPrime hash = 1099511628211
)

func (h *hash) effect(now Mono, e *Effect) {
	v := (*h ^ hash(now)) * hashPrime
	v = (v ^ hash(e.Do) ^ hash(e.Outcome)<<8 ^ hash(e.Job)<<16) * hashPrime
	for _, c := range e.Text {
		v = (v ^ hash(c)) * hashPrime
	}
	for i := range len(e.Why) {
		v = (v ^ hash(e.Why[i])) * hashPrime
	}
	*h = v
}

var kindNames = [...]string{"tick", "opened", "open failed", "gone", "heard", "submit", "withdraw", "stop", "halt", "wake"}

func eventName(k Kind, job uint32) string {
	if job == 0 {
		return kindNames[k]
	}
	return kindNames[k] + " " + strconv.Itoa(int(job))
}

func effectName(e *Effect) string {
	name := [...]string{"write", "end", "open", "close"}[e.Do]
	if e.Do == End {
		name += " " + strconv.Itoa(int(e.Job)) + " as " + strconv.Itoa(int(e.Outcome))
	}
	return name
}
