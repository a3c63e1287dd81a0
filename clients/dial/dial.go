package dial

import (
	"context"
	"errors"
	"fmt"
	"net"
	"strconv"
	"strings"
	"time"

	"google.golang.org/grpc"
)

const (
	// DefaultDeadline is the time that a call may take where its context sets none.
	// The slowest call, a design of 500 devices, takes seconds.
	DefaultDeadline = 30 * time.Second
	// maxReplyBytes bounds a reply. A quote of 500 devices with all reasons is a
	// few megabytes, more than the 4 MiB that gRPC takes by default.
	maxReplyBytes = 32 << 20
)

// unixScheme begins the address of a Unix socket.
const unixScheme = "unix:"

// ErrAddress is what every refusal of an address wraps.
var ErrAddress = errors.New("address not usable")

// Open makes a connection to the server at an address: host and port of a
// loopback interface ("localhost:7420", "127.0.0.1:7420", "[::1]:7420") or a Unix
// socket ("unix:/run/lugbook.sock"). Any other address is refused with
// [ErrAddress]. The caller closes the connection.
func Open(address string) (*grpc.ClientConn, error) { return OpenWith(address, Options{}) }

// OpenWith is Open with options: with TLS any host may be dialled.
func OpenWith(address string, o Options) (*grpc.ClientConn, error) {
	if err := CheckWith(address, o); err != nil {
		return nil, err
	}
	transport, err := o.transport()
	if err != nil {
		return nil, err
	}
	target := address
	if !strings.HasPrefix(address, unixScheme) {
		target = "passthrough:///" + address
	}
	conn, err := grpc.NewClient(target, append(transport,
		grpc.WithNoProxy(), // a proxy of the environment would take the call off this machine
		grpc.WithDefaultCallOptions(grpc.MaxCallRecvMsgSize(maxReplyBytes)),
		grpc.WithChainUnaryInterceptor(Deadline(DefaultDeadline)),
	)...)
	if err != nil {
		return nil, fmt.Errorf("%w: %q: %w", ErrAddress, address, err)
	}
	return conn, nil
}

// Check tells what is wrong with an address, in the terms of [Open]; nil where
// it can be dialled.
func Check(address string) error { return CheckWith(address, Options{}) }

// CheckWith tells what is wrong with an address, in the terms of [OpenWith].
func CheckWith(address string, o Options) error {
	if path, isUnix := strings.CutPrefix(address, unixScheme); isUnix {
		if strings.Trim(path, "/") == "" {
			return fmt.Errorf("%w: %q names no socket; write unix:/path/to/socket", ErrAddress, address)
		}
		return nil
	}
	host, port, err := net.SplitHostPort(address)
	if err != nil {
		return fmt.Errorf("%w: %q is not host:port, such as localhost:7420, or unix:/path/to/socket", ErrAddress, address)
	}
	if n, err := strconv.ParseUint(port, 10, 16); err != nil || n == 0 {
		return fmt.Errorf("%w: %q has no port from 1 to 65535", ErrAddress, address)
	}
	if host == "" || !isLoopback(host) && !o.encrypted() {
		return fmt.Errorf("%w: %q is not on this machine, and the connection is not encrypted; "+
			"use localhost, 127.0.0.1, [::1] or unix:/path/to/socket, or encrypt it", ErrAddress, address)
	}
	return nil
}

// isLoopback tells that a host is this machine. Names other than localhost are
// not looked up: who answers them may change.
func isLoopback(host string) bool {
	if strings.EqualFold(host, "localhost") {
		return true
	}
	ip := net.ParseIP(host)
	return ip != nil && ip.IsLoopback()
}

// Deadline gives calls whose context has no deadline the time limit.
func Deadline(limit time.Duration) grpc.UnaryClientInterceptor {
	return func(ctx context.Context, method string, req, reply any, conn *grpc.ClientConn,
		invoke grpc.UnaryInvoker, opts ...grpc.CallOption,
	) error {
		if _, set := ctx.Deadline(); !set {
			var cancel context.CancelFunc
			ctx, cancel = context.WithTimeout(ctx, limit)
			defer cancel()
		}
		return invoke(ctx, method, req, reply, conn, opts...)
	}
}
