package server

import (
	"net"
	"sync"
)

// Bounded gives a listener that closes a connection at once where there are so many
// already, in all or from one address: those who hold many open must not keep others
// out, nor fill the memory. A Unix socket has one address.
func Bounded(l net.Listener, all, perAddress int) net.Listener {
	return &bounded{Listener: l, all: all, perAddress: perAddress, from: map[string]int{}}
}

type bounded struct {
	net.Listener
	all, perAddress int

	mu    sync.Mutex
	count int
	from  map[string]int
}

// Accept gives the next connection that there is room for.
func (b *bounded) Accept() (net.Conn, error) {
	for {
		c, err := b.Listener.Accept()
		if err != nil {
			return nil, err
		}
		from := network(c.RemoteAddr())
		if b.enter(from) {
			return &entered{Conn: c, leave: sync.OnceFunc(func() { b.leave(from) })}, nil
		}
		_ = c.Close() // nobody is told: that would take time and room
	}
}

func (b *bounded) enter(from string) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.count >= b.all || b.from[from] >= b.perAddress {
		return false
	}
	b.count++
	b.from[from]++
	return true
}

func (b *bounded) leave(from string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.count--
	if b.from[from]--; b.from[from] == 0 {
		delete(b.from, from)
	}
}

// entered is a connection that was counted.
type entered struct {
	net.Conn
	leave func()
}

// Close closes the connection and gives its place to another.
func (e *entered) Close() error {
	e.leave()
	return e.Conn.Close()
}
