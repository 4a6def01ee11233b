//go:build !race

package runner_test

const stride = 1
