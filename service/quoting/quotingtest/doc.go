// Package quotingtest holds a store in memory for tests of the use cases and of what
// stands above them. It does what quoting.Store promises as far as these can tell,
// checks less than a real one, and forgets everything when the test ends.
package quotingtest
