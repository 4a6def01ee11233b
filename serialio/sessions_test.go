//go:build !race

package serialio

// defaultSessions is how many broken conversations a plain test run plays.
const defaultSessions = 20_000

// slower is how many times fewer of anything else are played under the race detector.
const slower = 1
