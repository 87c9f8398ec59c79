//go:build race

package inference_test

// Under the race detector, which slows this code tenfold and more, fewer random
// models are compared and fewer cases simulated.
const underRace = true
