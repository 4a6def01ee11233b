//go:build !race

package main

// How the stand-ins of the tests live: so many times faster than real ones, so many at a time, since they mostly wait,
// and each of them (stride 1). Where whole pieces are printed nobody waits for more than one: haste is what a machine of two
// busy cores still keeps a planner full at.
const (
	hurry   = 100
	haste   = 150
	atATime = 8
	stride  = 1
)
