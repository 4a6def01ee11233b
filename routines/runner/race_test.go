//go:build race

package runner_test

// stride is how many cases lie between two tries: the race detector makes SQLite slow, and it looks for other things.
const stride = 6
