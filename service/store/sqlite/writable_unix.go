//go:build unix

package sqlite

import "golang.org/x/sys/unix"

// writable tells that this process may write a file or folder.
func writable(path string) bool { return unix.Access(path, unix.W_OK) == nil }
