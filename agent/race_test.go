//go:build race

package main

// The race detector makes every program several times slower, and it looks for other things than the rest: fewer
// printers, fewer at a time, in less of a hurry. No alarm is shorter than a second, which is hurry seconds of theirs.
const (
	hurry   = 40
	atATime = 3
	stride  = 3
)
