//go:build !race

package main

// How the stand-ins of the tests live: so many times faster than real ones, so many at a time, since they mostly wait,
// and each of them (stride 1).
const (
	hurry   = 100
	atATime = 8
	stride  = 1
)
