// Package quotingtest holds a store in memory for tests of the use cases and of what
// stands above them. It keeps to the whole of quoting.Store and forgets everything
// when the test ends.
package quotingtest
