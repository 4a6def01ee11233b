//go:build !race

package machine

const noisyHours = 10_000
