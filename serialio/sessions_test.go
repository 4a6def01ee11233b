//go:build !race

package serialio

// defaultSessions is how many broken conversations a plain test run plays.
const defaultSessions = 20_000
