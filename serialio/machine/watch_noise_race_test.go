//go:build race

package machine

// noisyHours is fewer under the race detector, which finds nothing in a pure watch and makes it ten times slower.
const noisyHours = 500
