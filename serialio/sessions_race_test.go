//go:build race

package serialio

// defaultSessions is fewer under the race detector, which finds nothing in a pure step and makes it ten times slower.
const defaultSessions = 500
