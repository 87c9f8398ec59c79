package casefile

import (
	"fmt"
	"time"
)

// Wait sets how long the store waits for others, for tests.
func (s *Store) Wait(stale, most time.Duration) { s.wait = patience{stale, most} }

// LockPath is the lock of a case file.
func LockPath(path string) string { return lockPath(path) }

// NewPath is the half-written file of the holder with a token.
func NewPath(path, token string) string { return newPath(path, token) }

// LockText is what a lock of another process holds.
func LockText(token string, process int, host string) string {
	return fmt.Sprintf("%s %d %s%s", token, process, host, lockWords)
}

// Machine is what tells this system from others, "-" when nothing does.
func Machine() string { return machine() }

// StaleOrdinarily is how long a lock of an unknown holder is respected.
func StaleOrdinarily() time.Duration { return ordinaryPatience().stale }
