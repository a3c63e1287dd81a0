// Package dial opens the connection of a client to a Lugbook server. All clients
// dial here, so that addresses, deadlines and encryption are one thing.
//
//	conn, err := dial.Open("localhost:7420")
//	conn, err := dial.Open("unix:/run/lugbook.sock")
//
//	conn, err := dial.OpenWith("shop.example:7317", dial.Options{TLS: true, Token: token})
//
// Without TLS only addresses on the same machine are taken: a loopback address or a
// Unix socket. A connection is opened with the first call,
// not by Open; a server that does not answer shows as code Unavailable then.
package dial
