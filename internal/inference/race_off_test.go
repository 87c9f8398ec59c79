//go:build !race

package inference_test

const underRace = false
