//go:build race

package machine_test

const raced = true
