//go:build !unix

package sqlite

// writable tells that this process may write a file or folder. Where nothing tells
// beforehand, the database does when it writes.
func writable(string) bool { return true }
