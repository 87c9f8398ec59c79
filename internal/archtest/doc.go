// Package archtest holds the shape of the program as tests: who may import
// whom, what only one package may do, how long a function or a file may grow,
// and what must be written beside each exported name. It has no code of its own
// and nothing imports it.
package archtest
