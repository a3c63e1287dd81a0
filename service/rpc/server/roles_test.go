package server_test

import (
	"bytes"
	"context"
	"log/slog"
	"net"
	"slices"
	"strings"
	"testing"
	"time"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/service/access"
	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/quoting/quotingtest"
	"example.com/lugbook/service/rpc/server"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/status"
	"google.golang.org/grpc/test/bufconn"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/reflect/protoregistry"
	"google.golang.org/protobuf/types/dynamicpb"
)

func TestEveryMethodHasItsRowAndEveryRowItsMethod(t *testing.T) {
	cat, _ := inventedShop(t)
	s := server.New(server.Config{Catalog: cat, Now: now, Log: slog.New(slog.DiscardHandler), Reflection: true})
	defer s.Stop()
	var served, rows []string
	for service, info := range s.GetServiceInfo() {
		for _, m := range info.Methods {
			served = append(served, "/"+service+"/"+m.Name)
		}
	}
	for name, row := range server.Methods() {
		rows = append(rows, name)
		assert.Contains(t, server.Rates(), row.Class, name)
		if strings.HasPrefix(name, "/lugbook.") {
			assert.NotEmpty(t, row.Least, name)
			assert.Positive(t, row.Longest, name)
		}
	}
	assert.ElementsMatch(t, served, rows)
}

// A request can be sent again where it carries a request id, or only reads.
func TestRetryIsSafeWhereTheTableSaysSo(t *testing.T) {
	for _, m := range methods(t) {
		row := server.Methods()[m.name]
		writes := row.Class == server.Change
		assert.Equal(t, writes, m.Input().Fields().ByName("request_id") != nil, m.name)
		assert.True(t, row.Retry, m.name)
	}
}

// method is a method of the contract.
type method struct {
	protoreflect.MethodDescriptor
	name string
}

// methods gives every method of the contract.
func methods(t *testing.T) []method {
	t.Helper()
	var all []method
	protoregistry.GlobalFiles.RangeFilesByPackage("lugbook.v1", func(f protoreflect.FileDescriptor) bool {
		for i := range f.Services().Len() {
			s := f.Services().Get(i)
			for j := range s.Methods().Len() {
				m := s.Methods().Get(j)
				all = append(all, method{m, "/" + string(s.FullName()) + "/" + string(m.Name())})
			}
		}
		return true
	})
	require.Greater(t, len(all), 19)
	return all
}

// everyRole is every role, and whoever has none.
func everyRole() []quoting.Role { return append(quoting.Roles(), "") }

// rank is how much a role may do.
func rank(r quoting.Role) int { return slices.Index(quoting.Roles(), r) }

// ownersAlone, staffAlone and shelfAlone are the fields that must not leave for less, by what they
// are called: told here once more, so that one forgotten in the service's list is found.
var (
	ownersAlone = []string{"cost", "margin", "supplier", "suppliers", "include_cost"}
	staffAlone  = []string{"staff", "reason", "discount_reason", "discount_percent", "caller"}
	shelfAlone  = []string{"on_hand", "substitute_sku", "shortages", "stocked_way", "in_stock"}
)

func TestEveryCostAndMarginIsListed(t *testing.T) {
	listed := server.Fields()
	protoregistry.GlobalFiles.RangeFilesByPackage("lugbook.v1", func(f protoreflect.FileDescriptor) bool {
		for i := range f.Messages().Len() {
			fields := f.Messages().Get(i).Fields()
			for j := range fields.Len() {
				name, full := string(fields.Get(j).Name()), fields.Get(j).FullName()
				for _, word := range []string{"cost", "margin", "supplier", "markup"} {
					if slices.Contains(strings.Split(name, "_"), word) {
						assert.Equal(t, quoting.Owner, listed[full], full)
					}
				}
			}
		}
		return true
	})
	for full := range listed {
		_, err := protoregistry.GlobalFiles.FindDescriptorByName(full)
		require.NoError(t, err, "%s is listed and there is no such field", full)
	}
}

// guards are the interceptors as each role meets them.
type guards map[quoting.Role]struct {
	unary  grpc.UnaryServerInterceptor
	stream grpc.StreamServerInterceptor
}

func guardsOf(t *testing.T) guards {
	t.Helper()
	cat, _ := inventedShop(t)
	out := guards{}
	for _, role := range everyRole() {
		g := out[role]
		g.unary, g.stream = server.Interceptors(server.Config{Catalog: cat, Now: now, Log: slog.New(slog.DiscardHandler),
			Access: &server.Access{Nobody: role}, Rates: map[server.Class]server.Rate{}})
		out[role] = g
	}
	return out
}

// call calls a method as a role, with a reply that a handler gives.
func (g guards) call(t *testing.T, role quoting.Role, m method, request, reply proto.Message) (proto.Message, error) {
	t.Helper()
	unary, stream := g[role].unary, g[role].stream
	if !m.IsStreamingClient() {
		got, err := unary(t.Context(), request, &grpc.UnaryServerInfo{FullMethod: m.name}, func(context.Context, any) (any, error) { return reply, nil })
		if err != nil {
			return nil, err
		}
		return got.(proto.Message), nil //nolint:forcetypeassert // it is what the handler gave
	}
	wire := &one{ctx: t.Context(), request: request}
	err := stream(nil, wire, &grpc.StreamServerInfo{FullMethod: m.name}, func(_ any, s grpc.ServerStream) error {
		if err := s.RecvMsg(dynamicpb.NewMessage(m.Input())); err != nil {
			return err
		}
		return s.SendMsg(reply)
	})
	return wire.reply, err
}

// one is a stream of one request and one reply.
type one struct {
	grpc.ServerStream
	ctx            context.Context //nolint:containedctx // a stream has the context of its call
	request, reply proto.Message
}

func (o *one) Context() context.Context { return o.ctx }

func (o *one) RecvMsg(m any) error {
	proto.Merge(m.(proto.Message), o.request) //nolint:forcetypeassert // the test's own
	return nil
}

func (o *one) SendMsg(m any) error {
	o.reply = m.(proto.Message) //nolint:forcetypeassert // the test's own
	return nil
}

// Whatever a handler gives, what is the owner's alone leaves for nobody else, and
// everything else leaves as it is.
func TestNoReplyHasWhatIsNotForTheRole(t *testing.T) {
	guards := guardsOf(t)
	for _, m := range methods(t) {
		for _, role := range everyRole() {
			t.Run(m.name+" as "+string(role), func(t *testing.T) {
				full := dynamicpb.NewMessage(m.Output())
				fill(full, 0)
				reply, err := guards.call(t, role, m, dynamicpb.NewMessage(m.Input()), proto.Clone(full))
				switch {
				case role == "":
					require.Equal(t, codes.Unauthenticated, status.Code(err))
					return
				case rank(role) < rank(server.Methods()[m.name].Least):
					require.Equal(t, codes.PermissionDenied, status.Code(err))
					return
				}
				require.NoError(t, err)
				strip(full, func(name string) bool {
					return role != quoting.Owner && slices.Contains(ownersAlone, name) || role == quoting.Public && slices.Contains(shelfAlone, name) ||
						role == quoting.Public && slices.Contains(staffAlone, name) && m.Name() != "PreviewQuote"
				})
				assert.True(t, proto.Equal(full, reply), "%v", reply)
			})
		}
	}
}

// fill sets every field of a message, of oneofs the first.
func fill(m protoreflect.Message, depth int) {
	const deep = 8
	for i := range m.Descriptor().Fields().Len() {
		f := m.Descriptor().Fields().Get(i)
		if o := f.ContainingOneof(); o != nil && m.WhichOneof(o) != nil {
			continue
		}
		set(m, f, depth, deep)
	}
}

func set(m protoreflect.Message, f protoreflect.FieldDescriptor, depth, deep int) {
	switch {
	case f.Message() != nil && depth == deep:
	case f.IsMap():
	case f.IsList() && f.Message() != nil:
		fill(m.Mutable(f).List().AppendMutable().Message(), depth+1)
	case f.IsList():
		m.Mutable(f).List().Append(something(f))
	case f.Message() != nil:
		fill(m.Mutable(f).Message(), depth+1)
	default:
		m.Set(f, something(f))
	}
}

func something(f protoreflect.FieldDescriptor) protoreflect.Value {
	switch f.Kind() {
	case protoreflect.StringKind:
		return protoreflect.ValueOfString("some " + string(f.Name()))
	case protoreflect.BytesKind:
		return protoreflect.ValueOfBytes([]byte("some"))
	case protoreflect.BoolKind:
		return protoreflect.ValueOfBool(true)
	case protoreflect.DoubleKind:
		return protoreflect.ValueOfFloat64(1.5)
	case protoreflect.Int32Kind:
		return protoreflect.ValueOfInt32(1)
	case protoreflect.Int64Kind:
		return protoreflect.ValueOfInt64(1)
	case protoreflect.EnumKind:
		return protoreflect.ValueOfEnum(1)
	}
	panic("a kind that the contract did not have: " + f.Kind().String())
}

// strip clears the fields of such names, at any depth.
func strip(m protoreflect.Message, which func(name string) bool) {
	m.Range(func(f protoreflect.FieldDescriptor, v protoreflect.Value) bool {
		switch {
		case which(string(f.Name())):
			m.Clear(f)
		case f.IsList() && f.Message() != nil:
			for i := range v.List().Len() {
				strip(v.List().Get(i).Message(), which)
			}
		case !f.IsList() && !f.IsMap() && f.Message() != nil:
			strip(v.Message(), which)
		}
		return true
	})
}

// Every field of every request, set alone: refused exactly where it is not for the role.
func TestNoRequestAsksForWhatIsNotForTheRole(t *testing.T) {
	guards, refused := guardsOf(t), 0
	for _, m := range methods(t) {
		for _, role := range quoting.Roles() {
			if rank(role) < rank(server.Methods()[m.name].Least) {
				continue
			}
			eachField(m.Input(), func(path string, request proto.Message) {
				name := path[strings.LastIndex(path, ".")+1:]
				bad := name == "include_cost" && role != quoting.Owner ||
					role == quoting.Public && (path == "source.number" || name == "in_stock" || strings.HasPrefix(name, "discount_"))
				_, err := guards.call(t, role, m, request, dynamicpb.NewMessage(m.Output()))
				if !bad {
					require.NoError(t, err, "%s as %s: %s", m.name, role, path)
					return
				}
				refused++
				require.Equal(t, codes.PermissionDenied, status.Code(err), "%s as %s: %s", m.name, role, path)
				assert.Contains(t, status.Convert(err).Message(), path)
			})
		}
	}
	assert.GreaterOrEqual(t, refused, 15)
}

// eachField calls do with a message in which one field is set, for every field down to
// a depth.
func eachField(d protoreflect.MessageDescriptor, do func(path string, m proto.Message)) {
	var down func(d protoreflect.MessageDescriptor, path string, depth int, build func(func(protoreflect.Message)) proto.Message)
	down = func(d protoreflect.MessageDescriptor, path string, depth int, build func(func(protoreflect.Message)) proto.Message) {
		for i := range d.Fields().Len() {
			f := d.Fields().Get(i)
			at := path + string(f.Name())
			do(at, build(func(m protoreflect.Message) { set(m, f, 0, 0) }))
			if f.Message() == nil || f.IsMap() || depth == 0 {
				continue
			}
			down(f.Message(), at+".", depth-1, func(inner func(protoreflect.Message)) proto.Message {
				return build(func(m protoreflect.Message) {
					if f.IsList() {
						inner(m.Mutable(f).List().AppendMutable().Message())
					} else {
						inner(m.Mutable(f).Message())
					}
				})
			})
		}
	}
	down(d, "", 4, func(inner func(protoreflect.Message)) proto.Message {
		m := dynamicpb.NewMessage(d)
		inner(m)
		return m
	})
}

// shown calls with a token.
func shown(ctx context.Context, secret string) context.Context {
	return metadata.AppendToOutgoingContext(ctx, "authorization", "Bearer "+secret)
}

// tokens makes a token of each role.
func tokens(t *testing.T, store quoting.Store) map[quoting.Role]string {
	t.Helper()
	out := map[quoting.Role]string{}
	for _, role := range quoting.Roles() {
		secret, token, err := access.New("the-"+string(role), role, now())
		require.NoError(t, err)
		require.NoError(t, store.Update(t.Context(), func(w quoting.Writer) error { return w.AddToken(token) }))
		out[role] = secret
	}
	return out
}

// guardedShop serves the invented shop to those who have a token, and gives these and
// the log.
func guardedShop(t *testing.T, bend func(*server.Config)) (*grpc.ClientConn, map[quoting.Role]string, *bytes.Buffer) {
	t.Helper()
	log := &bytes.Buffer{}
	s, secrets := guardedServer(t, func(c *server.Config) {
		c.Log = slog.New(slog.NewJSONHandler(log, nil))
		if bend != nil {
			bend(c)
		}
	})
	return serveMemory(t, s), secrets, log
}

func guardedServer(t *testing.T, bend func(*server.Config)) (*server.Server, map[quoting.Role]string) {
	t.Helper()
	cat, packed := inventedShop(t)
	store := quotingtest.NewStore()
	secrets := tokens(t, store)
	c := server.Config{Catalog: cat, Files: func() ([]byte, error) { return packed, nil }, Store: store, Now: now, Log: slog.New(slog.DiscardHandler),
		Access: &server.Access{Tokens: access.NewKeys(store)}}
	bend(&c)
	return server.New(c), secrets
}

// serveMemory serves over memory and gives a connection.
func serveMemory(t *testing.T, s *server.Server) *grpc.ClientConn {
	t.Helper()
	listener := bufconn.Listen(1 << 20)
	done := make(chan error, 1)
	go func() { done <- s.Serve(listener) }()
	conn, err := grpc.NewClient("passthrough:memory", grpc.WithTransportCredentials(insecure.NewCredentials()),
		grpc.WithContextDialer(func(ctx context.Context, _ string) (net.Conn, error) { return listener.DialContext(ctx) }))
	require.NoError(t, err)
	t.Cleanup(func() {
		require.NoError(t, conn.Close())
		s.Close(time.Second)
		require.NoError(t, <-done)
	})
	return conn
}

// Nothing of a customer or of what staff wrote comes to the public, whatever it calls.
func TestThePublicLearnsNothingOfCustomers(t *testing.T) {
	conn, secrets, log := guardedShop(t, nil)
	quotes := pb.NewQuoteServiceClient(conn)
	planted := []string{"Zebulon Quartermain", "555-0187", "zeb@quartermain.example", "Wilhelmina", "owes us money"}
	j := lampsJob(1)
	j.Customer = &pb.Customer{Name: planted[0], Phone: planted[1], Email: planted[2]}
	ctx := shown(t.Context(), secrets[quoting.Counter])
	made, err := quotes.CreateQuote(ctx, &pb.CreateQuoteRequest{Source: ofJob(j), RequestId: "a", Staff: planted[3]})
	require.NoError(t, err)
	number := made.GetQuote().GetNumber()
	_, err = quotes.DeclineQuote(ctx, &pb.DeclineQuoteRequest{Number: number, RequestId: "b", Staff: planted[3], Reason: planted[4]})
	require.NoError(t, err)
	full, err := quotes.GetQuote(ctx, &pb.GetQuoteRequest{Number: number, IncludeHistory: true})
	require.NoError(t, err)
	for _, p := range planted {
		assert.Contains(t, strings.Join(sentences(full.ProtoReflect()), "\n"), p, "the counter sees it")
	}

	calls := 0
	for _, m := range methods(t) {
		if m.IsStreamingClient() {
			continue
		}
		try := func(request proto.Message) {
			calls++
			reply := dynamicpb.NewMessage(m.Output())
			err := conn.Invoke(shown(t.Context(), secrets[quoting.Public]), m.name, request, reply)
			text := strings.Join(sentences(reply), "\n") + status.Convert(err).Proto().String()
			for _, p := range planted {
				assert.NotContains(t, text, p, m.name)
			}
		}
		try(dynamicpb.NewMessage(m.Input()))
		for _, f := range []string{"number", "id", "sku", "text", "customer"} {
			if fd := m.Input().Fields().ByName(protoreflect.Name(f)); fd != nil {
				for _, value := range []string{number, "1", "zebulon"} {
					request := dynamicpb.NewMessage(m.Input())
					request.Set(fd, protoreflect.ValueOfString(value))
					try(request)
				}
			}
		}
		if m.Input().Fields().ByName("source") != nil {
			raw, err := proto.Marshal(ofNumber(number))
			require.NoError(t, err)
			request := dynamicpb.NewMessage(m.Input())
			source := m.Input().Fields().ByName("source")
			require.NoError(t, proto.Unmarshal(raw, request.Mutable(source).Message().Interface()))
			try(request)
		}
	}
	assert.Greater(t, calls, 25)
	for _, p := range planted {
		assert.NotContains(t, log.String(), p, "nor does the log")
	}
}
