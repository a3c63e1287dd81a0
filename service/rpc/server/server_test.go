package server_test

import (
	"bytes"
	"context"
	"log/slog"
	"maps"
	"math"
	"net"
	"slices"
	"strings"
	"testing"
	"time"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"
	"example.com/lugbook/service/rpc/server"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/status"
	"google.golang.org/grpc/test/bufconn"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"
	"google.golang.org/protobuf/types/dynamicpb"
	"google.golang.org/protobuf/types/known/emptypb"
	"pgregory.net/rapid"
)

// now is the clock of every test.
func now() time.Time { return time.Date(2026, 11, 24, 12, 0, 0, 0, time.UTC) }

// start serves the demo shop over memory and gives a connection and the log.
func start(t *testing.T) (*grpc.ClientConn, *bytes.Buffer) {
	t.Helper()
	cat, err := catalog.Read(demo.Files())
	require.NoError(t, err)
	var log bytes.Buffer
	s := server.New(server.Config{Catalog: cat, Now: now, Log: slog.New(slog.NewJSONHandler(&log, nil)), Reflection: true})
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
	return conn, &log
}

// job is a sound one-device job that tests bend.
func job(bend func(*pb.Job)) *pb.PreviewQuoteRequest {
	j := &pb.Job{VehicleId: "sedan", System: &pb.System{Devices: []*pb.Device{{
		Id: "sub", Kind: pb.DeviceKind_DEVICE_KIND_AMPLIFIER, Zone: "boot",
		Rating: &pb.Device_Audio{Audio: &pb.AudioOutput{RmsW: proto.Float64(500), AmplifierClass: pb.AmplifierClass_AMPLIFIER_CLASS_D}},
	}}}}
	if bend != nil {
		bend(j)
	}
	return &pb.PreviewQuoteRequest{Source: &pb.QuoteSource{Source: &pb.QuoteSource_Job{Job: j}}}
}

func TestPreviewQuote(t *testing.T) {
	conn, log := start(t)
	quotes := pb.NewQuoteServiceClient(conn)
	reply, err := quotes.PreviewQuote(t.Context(), job(func(j *pb.Job) { j.Customer = &pb.Customer{Name: "Walk-in with a long coat"} }))
	require.NoError(t, err)
	q := reply.GetQuote()
	require.Len(t, q.GetDesign().GetCircuits(), 1)
	assert.Equal(t, now().AddDate(0, 0, 30), q.GetValidUntil().AsTime(), "thirty days, by the clock given")
	assert.NotEmpty(t, q.GetLines())
	assert.Equal(t, "USD", q.GetTotals().GetTotal().GetCurrencyCode())
	for _, l := range q.GetLines() {
		assert.Nil(t, l.GetCost(), "cost is shown only when asked for")
		assert.NotEmpty(t, l.GetDescription())
		assert.NotEmpty(t, l.GetWhy())
	}
	assert.NotContains(t, log.String(), "long coat", "no customer in the log")
	text, err := proto.Marshal(reply)
	require.NoError(t, err)
	assert.Less(t, len(text), 64<<10)
	for _, s := range sentences(reply.ProtoReflect()) {
		assert.NotContains(t, s, "{", "a slot is left open")
	}
}

// sentences gives every text of a message.
func sentences(m protoreflect.Message) []string {
	var out []string
	m.Range(func(fd protoreflect.FieldDescriptor, v protoreflect.Value) bool {
		each := func(v protoreflect.Value) {
			switch fd.Kind() {
			case protoreflect.StringKind:
				out = append(out, v.String())
			case protoreflect.MessageKind:
				out = append(out, sentences(v.Message())...)
			}
		}
		if fd.IsList() {
			for i := range v.List().Len() {
				each(v.List().Get(i))
			}
		} else {
			each(v)
		}
		return true
	})
	return out
}

func TestBadInput(t *testing.T) {
	device := func(bend func(*pb.Device)) *pb.PreviewQuoteRequest {
		return job(func(j *pb.Job) { bend(j.System.Devices[0]) })
	}
	const at = "source.job.system.devices[0]"
	for name, c := range map[string]struct {
		request *pb.PreviewQuoteRequest
		fields  []string
	}{
		"no source":       {&pb.PreviewQuoteRequest{}, []string{"source"}},
		"unknown vehicle": {job(func(j *pb.Job) { j.VehicleId = "hovercraft" }), []string{"source.job.vehicle_id"}},
		"no vehicle":      {job(func(j *pb.Job) { j.VehicleId = "" }), []string{"source.job.vehicle_id"}},
		"two vehicles":    {job(func(j *pb.Job) { j.Vehicle = &pb.Vehicle{} }), []string{"source.job.vehicle_id"}},
		"no devices":      {job(func(j *pb.Job) { j.System = nil }), []string{"source.job.system.devices"}},
		"unknown zone":    {device(func(d *pb.Device) { d.Zone = "attic" }), []string{at + ".zone"}},
		"no rating":       {device(func(d *pb.Device) { d.Rating = nil }), []string{at}},
		"negative":        {device(func(d *pb.Device) { d.Rating = &pb.Device_CurrentA{CurrentA: -3} }), []string{at + ".current_a"}},
		"zero":            {device(func(d *pb.Device) { d.Rating = &pb.Device_CurrentA{CurrentA: 0} }), []string{at}},
		"not a number":    {device(func(d *pb.Device) { d.Rating = &pb.Device_CurrentA{CurrentA: math.NaN()} }), []string{at + ".current_a"}},
		"infinite":        {device(func(d *pb.Device) { d.MeasuredLengthM = proto.Float64(math.Inf(1)) }), []string{at + ".measured_length_m"}},
		"enormous":        {device(func(d *pb.Device) { d.Rating = &pb.Device_CurrentA{CurrentA: 1e9} }), []string{at + ".current_a"}},
		"unknown kind":    {device(func(d *pb.Device) { d.Kind = 999 }), []string{at + ".kind"}},
		"unknown size": {device(func(d *pb.Device) {
			d.Maker = &pb.MakerInstructions{TerminalMax: &pb.Conductor{Size: &pb.Conductor_Awg{Awg: "99"}}}
		}), []string{at + ".maker.terminal_max.awg"}},
		"unknown stud":      {device(func(d *pb.Device) { d.Maker = &pb.MakerInstructions{Positive: &pb.Landing{Kind: 1, Stud: "M7"}} }), []string{at + ".maker.positive.stud"}},
		"unknown equipment": {device(func(d *pb.Device) { d.EquipmentSku = "NOPE" }), []string{at + ".equipment_sku"}},
		"two faults":        {device(func(d *pb.Device) { d.Zone, d.Id = "attic", "" }), []string{at + ".id", at + ".zone"}},
		"text too long":     {job(func(j *pb.Job) { j.Customer = &pb.Customer{Name: strings.Repeat("a", 5000)} }), []string{"source.job.customer.name"}},
		"trip, not mobile":  {job(func(j *pb.Job) { j.Terms = &pb.JobTerms{TripKm: proto.Float64(12)} }), []string{"source.job.terms.trip_km"}},
		"trip around earth": {job(func(j *pb.Job) { j.Terms = &pb.JobTerms{Mobile: true, TripKm: proto.Float64(40_000)} }), []string{"source.job.terms.trip_km"}},
		"discount":          {job(func(j *pb.Job) { j.Terms = &pb.JobTerms{DiscountPercent: proto.Float64(120), DiscountReason: "friend"} }), []string{"source.job.terms.discount_percent"}},
		"own vehicle in two pieces": {job(func(j *pb.Job) {
			j.VehicleId = ""
			j.Vehicle = &pb.Vehicle{Category: pb.VehicleCategory_VEHICLE_CATEGORY_CAR, NominalV: 12, Batteries: []*pb.Battery{{Id: "b", CapacityAh: 60, Zone: "front"}},
				Zones: []*pb.Zone{{Id: "front"}, {Id: "boot"}}}
		}), []string{at + ".zone"}},
	} {
		t.Run(name, func(t *testing.T) {
			conn, _ := start(t)
			_, err := pb.NewQuoteServiceClient(conn).PreviewQuote(t.Context(), c.request)
			s, _ := status.FromError(err)
			require.Equal(t, codes.InvalidArgument, s.Code(), "%v", err)
			var fields []string
			for _, d := range s.Details() {
				if bad, ok := d.(*errdetails.BadRequest); ok {
					for _, v := range bad.GetFieldViolations() {
						fields = append(fields, v.GetField())
						assert.NotContains(t, v.GetDescription(), "violation.", "wording is missing")
						assert.NotContains(t, v.GetDescription(), "{")
					}
				}
			}
			assert.Equal(t, c.fields, fields)
		})
	}
}

func TestJobThatCannotBeMet(t *testing.T) {
	conn, _ := start(t)
	_, err := pb.NewQuoteServiceClient(conn).PreviewQuote(t.Context(), job(func(j *pb.Job) {
		j.System.Devices[0].Maker = &pb.MakerInstructions{TerminalMax: &pb.Conductor{Size: &pb.Conductor_Awg{Awg: "16"}}}
	}))
	s, _ := status.FromError(err)
	require.Equal(t, codes.FailedPrecondition, s.Code())
	for _, d := range s.Details() {
		if u, ok := d.(*pb.Unmet); ok {
			assert.Equal(t, "sub", u.GetAt())
			assert.NotEmpty(t, u.GetNearest())
			return
		}
	}
	t.Fatal("no Unmet detail")
}

func TestPartsArePagedUnderOneFilter(t *testing.T) {
	conn, _ := start(t)
	c := pb.NewCatalogServiceClient(conn)
	seen := map[string]bool{}
	request := &pb.ListPartsRequest{Kind: pb.PartKind_PART_KIND_TERMINAL, PageSize: 7}
	for {
		reply, err := c.ListParts(t.Context(), request)
		require.NoError(t, err)
		for _, p := range reply.GetParts() {
			assert.False(t, seen[p.GetSku()], "%s came twice", p.GetSku())
			seen[p.GetSku()] = true
		}
		if request.PageToken = reply.GetNextPageToken(); request.PageToken == "" {
			assert.Len(t, seen, int(reply.GetTotalSize()))
			break
		}
	}
	reply, err := c.ListParts(t.Context(), &pb.ListPartsRequest{Kind: pb.PartKind_PART_KIND_FUSE, PageSize: 7})
	require.NoError(t, err)
	_, err = c.ListParts(t.Context(), &pb.ListPartsRequest{Kind: pb.PartKind_PART_KIND_TERMINAL, PageToken: reply.GetNextPageToken()})
	assert.Equal(t, codes.InvalidArgument, status.Code(err), "a token of another list")
	_, err = c.ListParts(t.Context(), &pb.ListPartsRequest{PageSize: -1})
	assert.Equal(t, codes.InvalidArgument, status.Code(err))
}

func TestVehiclesAndPartsByName(t *testing.T) {
	conn, _ := start(t)
	c := pb.NewCatalogServiceClient(conn)
	list, err := c.ListVehicles(t.Context(), &pb.ListVehiclesRequest{Category: pb.VehicleCategory_VEHICLE_CATEGORY_BOAT})
	require.NoError(t, err)
	require.NotEmpty(t, list.GetVehicles())
	for _, v := range list.GetVehicles() {
		one, err := c.GetVehicle(t.Context(), &pb.GetVehicleRequest{Id: v.GetId()})
		require.NoError(t, err)
		assert.True(t, proto.Equal(v, one.GetVehicle()))
	}
	_, err = c.GetVehicle(t.Context(), &pb.GetVehicleRequest{Id: "hovercraft"})
	assert.Equal(t, codes.NotFound, status.Code(err))
	_, err = c.GetPart(t.Context(), &pb.GetPartRequest{Sku: "NOPE"})
	assert.Equal(t, codes.NotFound, status.Code(err))
}

func TestHealth(t *testing.T) {
	conn, _ := start(t)
	reply, err := grpc_health_v1.NewHealthClient(conn).Check(t.Context(), &grpc_health_v1.HealthCheckRequest{Service: "lugbook.v1.QuoteService"})
	require.NoError(t, err)
	assert.Equal(t, grpc_health_v1.HealthCheckResponse_SERVING, reply.GetStatus())
}

// Whatever message comes, no method fails inside.
func TestRandomMessagesNeverFailInside(t *testing.T) {
	conn, log := start(t)
	stored := newCounter(t)
	stored.create(t, customer)
	methods := map[string]proto.Message{
		pb.QuoteService_CreateQuote_FullMethodName: &pb.CreateQuoteRequest{}, pb.QuoteService_GetQuote_FullMethodName: &pb.GetQuoteRequest{},
		pb.QuoteService_ListQuotes_FullMethodName: &pb.ListQuotesRequest{}, pb.QuoteService_ReviseQuote_FullMethodName: &pb.ReviseQuoteRequest{},
		pb.QuoteService_AcceptQuote_FullMethodName: &pb.AcceptQuoteRequest{}, pb.QuoteService_DeclineQuote_FullMethodName: &pb.DeclineQuoteRequest{},
		pb.QuoteService_WithdrawQuote_FullMethodName: &pb.WithdrawQuoteRequest{}, pb.QuoteService_RequoteQuote_FullMethodName: &pb.RequoteQuoteRequest{},
		pb.QuoteService_EraseCustomer_FullMethodName: &pb.EraseCustomerRequest{},
		pb.QuoteService_PreviewQuote_FullMethodName:  &pb.PreviewQuoteRequest{}, pb.DesignService_SizeRun_FullMethodName: &pb.SizeRunRequest{},
		pb.DesignService_DesignSystem_FullMethodName: &pb.DesignSystemRequest{}, pb.DesignService_PlanTermination_FullMethodName: &pb.PlanTerminationRequest{},
		pb.DesignService_DescribeFuse_FullMethodName: &pb.DescribeFuseRequest{}, pb.DesignService_BalanceCharging_FullMethodName: &pb.BalanceChargingRequest{},
		pb.CatalogService_ListParts_FullMethodName: &pb.ListPartsRequest{}, pb.CatalogService_GetPart_FullMethodName: &pb.GetPartRequest{},
		pb.CatalogService_ListRevisions_FullMethodName: &pb.ListRevisionsRequest{},
		pb.CatalogService_ListVehicles_FullMethodName:  &pb.ListVehiclesRequest{}, pb.CatalogService_GetVehicle_FullMethodName: &pb.GetVehicleRequest{},
	}
	names := slices.Sorted(maps.Keys(methods))
	allowed := []codes.Code{codes.OK, codes.InvalidArgument, codes.FailedPrecondition, codes.NotFound, codes.Aborted}
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom(names).Draw(t, "method")
		request := dynamicpb.NewMessage(methods[name].ProtoReflect().Descriptor())
		scribble(t, request, 0)
		for _, server := range []*grpc.ClientConn{conn, stored.conn} { // without a store, and with one
			err := server.Invoke(context.Background(), name, request, &emptypb.Empty{}) // every field of the reply is unknown to it
			if !slices.Contains(allowed, status.Code(err)) {
				t.Fatalf("%s: %v\n%s", name, err, log.String())
			}
		}
	})
}

// scribble fills a message with likely and unlikely values.
func scribble(t *rapid.T, m protoreflect.Message, depth int) {
	fields := m.Descriptor().Fields()
	for i := range fields.Len() {
		fd := fields.Get(i)
		if !rapid.Bool().Draw(t, string(fd.Name())) {
			continue
		}
		if fd.IsList() {
			for range rapid.IntRange(0, 3).Draw(t, "n") {
				if fd.Kind() == protoreflect.MessageKind && depth > 5 {
					break
				}
				list := m.Mutable(fd).List()
				if fd.Kind() == protoreflect.MessageKind {
					scribble(t, list.AppendMutable().Message(), depth+1)
				} else {
					list.Append(scalar(t, fd))
				}
			}
			continue
		}
		if fd.Kind() == protoreflect.MessageKind {
			if depth <= 5 {
				scribble(t, m.Mutable(fd).Message(), depth+1)
			}
			continue
		}
		m.Set(fd, scalar(t, fd))
	}
}

func scalar(t *rapid.T, fd protoreflect.FieldDescriptor) protoreflect.Value {
	switch fd.Kind() {
	case protoreflect.DoubleKind:
		return protoreflect.ValueOfFloat64(rapid.OneOf(rapid.Float64Range(-5, 200), rapid.SampledFrom([]float64{0, 12, 24, 105, math.NaN(), math.Inf(1), 1e300, -1e300, 5e-324})).Draw(t, "v"))
	case protoreflect.BoolKind:
		return protoreflect.ValueOfBool(rapid.Bool().Draw(t, "v"))
	case protoreflect.Int32Kind:
		return protoreflect.ValueOfInt32(rapid.OneOf(rapid.Int32Range(-2, 9), rapid.Int32()).Draw(t, "v"))
	case protoreflect.Int64Kind:
		return protoreflect.ValueOfInt64(rapid.OneOf(rapid.Int64Range(-2, 9), rapid.Int64()).Draw(t, "v"))
	case protoreflect.EnumKind:
		return protoreflect.ValueOfEnum(protoreflect.EnumNumber(rapid.OneOf(rapid.Int32Range(0, 12), rapid.Int32()).Draw(t, "v")))
	default:
		return protoreflect.ValueOfString(rapid.OneOf(rapid.SampledFrom([]string{"sedan", "boot", "a", "", "4", "M8", "8 AWG", "start", "en", "open-boat", "bilge", "FU-ANL-100", "1", "2026-00001", "2"}), rapid.StringN(0, 20, -1)).Draw(t, "v"))
	}
}
