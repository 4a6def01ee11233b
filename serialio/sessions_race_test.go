//go:build race

package serialio

// defaultSessions is fewer under the race detector, which finds nothing in a pure step and makes it ten times slower.
const defaultSessions = 500

// slower is how many times fewer of anything else are played here.
const slower = 10
