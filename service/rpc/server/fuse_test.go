package server_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"testing"

	pb "example.com/lugbook/api/lugbook/v1"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"
	"pgregory.net/rapid"
)

// TestDescribeFuse answers in words, figures and a picture.
func TestDescribeFuse(t *testing.T) {
	conn, _ := start(t)
	reply, err := pb.NewDesignServiceClient(conn).DescribeFuse(t.Context(), &pb.DescribeFuseRequest{
		Family: pb.FuseFamily_FUSE_FAMILY_BLADE, RatingA: 20, AtA: []float64{21, 27, 40}, Picture: pb.PictureFormat_PICTURE_FORMAT_PNG,
		Conductor: &pb.Conductor{Size: &pb.Conductor_Awg{Awg: "14"}}, Beside: []*pb.FuseToDraw{{Family: pb.FuseFamily_FUSE_FAMILY_MAXI, RatingA: 40}},
	})
	require.NoError(t, err)
	require.Len(t, reply.GetPoints(), 3)
	assert.True(t, reply.GetPoints()[0].GetStaysClosed())
	assert.Nil(t, reply.GetPoints()[0].GetOpeningS())
	assert.InDelta(t, 135, reply.GetPoints()[1].GetPercent(), 1e-9)
	band := reply.GetPoints()[2].GetOpeningS() // ISO 8820-3 at 200 %
	assert.InDelta(t, 0.15, band.GetLow(), 1e-9)
	assert.InDelta(t, 5, band.GetHigh(), 1e-9)
	assert.Equal(t, "image/png", reply.GetPicture().GetMediaType())
	assert.NotEmpty(t, reply.GetPicture().GetAltText())
	_, err = png.Decode(bytes.NewReader(reply.GetPicture().GetData()))
	require.NoError(t, err)
	assert.NotEmpty(t, reply.GetSafetyNotes())
}

// TestAnyFuseIsDescribedOrRefused: whatever fuse is asked about, with a picture or
// without, the answer is whole or the request is refused.
func TestAnyFuseIsDescribedOrRefused(t *testing.T) {
	conn, log := start(t)
	client := pb.NewDesignServiceClient(conn)
	drawn := 0
	rapid.Check(t, func(r *rapid.T) {
		request := &pb.DescribeFuseRequest{
			Family: pb.FuseFamily(rapid.IntRange(1, 12).Draw(r, "family")), RatingA: rapid.SampledFrom([]float64{0.001, 1, 3, 20, 40, 100, 300, 750, 1999.5, 2000}).Draw(r, "rating"),
			AtA: rapid.SliceOfN(rapid.Float64Range(0.02, 99_999), 0, 16).Draw(r, "at"), Picture: pb.PictureFormat(rapid.IntRange(0, 2).Draw(r, "picture")),
		}
		if rapid.Bool().Draw(r, "hot") {
			request.AmbientC = proto.Float64(rapid.Float64Range(-40, 125).Draw(r, "ambient"))
		}
		if rapid.Bool().Draw(r, "cable") {
			request.Conductor = &pb.Conductor{Material: pb.Material(rapid.IntRange(0, 3).Draw(r, "material")), Size: &pb.Conductor_AreaMm2{AreaMm2: rapid.SampledFrom([]float64{0.35, 0.75, 2.5, 16, 120}).Draw(r, "size")}}
		}
		reply, err := client.DescribeFuse(t.Context(), request)
		if status.Code(err) == codes.InvalidArgument {
			return
		}
		if err != nil {
			r.Fatalf("%v\n%v\n%s", err, request, log.String())
		}
		if want := len(request.GetAtA()); want > 0 && len(reply.GetPoints()) != want {
			r.Fatalf("%d points", len(reply.GetPoints()))
		}
		if request.GetPicture() == pb.PictureFormat_PICTURE_FORMAT_SVG {
			drawn++
			wellFormed(r, reply.GetPicture().GetData())
		}
	})
	assert.Positive(t, drawn)
}

func wellFormed(t require.TestingT, svg []byte) {
	d := xml.NewDecoder(bytes.NewReader(svg))
	for {
		_, err := d.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		require.NoError(t, err)
	}
}

// TestBalanceCharging answers for a job, and names what a job lacks.
func TestBalanceCharging(t *testing.T) {
	conn, _ := start(t)
	client := pb.NewDesignServiceClient(conn)
	heater := &pb.Device{Id: "heater", Kind: pb.DeviceKind_DEVICE_KIND_HEATED_GEAR, Zone: "seat", Rating: &pb.Device_CurrentA{CurrentA: 5}}
	reply, err := client.BalanceCharging(t.Context(), &pb.BalanceChargingRequest{Job: &pb.Job{VehicleId: "touring-motorcycle", System: &pb.System{Devices: []*pb.Device{heater}}}})
	require.NoError(t, err)
	// A stator of 45 A at 0.9, the motorcycle's 16 A, and half of the grips' 5 A.
	assert.InDelta(t, 45*0.9-16-2.5, reply.GetCharging().GetCruiseSurplusA(), 1e-9)
	assert.True(t, reply.GetCharging().GetPass())
	require.Len(t, reply.GetLoads(), 1)
	assert.InDelta(t, 2.5, reply.GetLoads()[0].GetAverageA(), 1e-9)

	_, err = client.BalanceCharging(t.Context(), &pb.BalanceChargingRequest{})
	require.Equal(t, codes.InvalidArgument, status.Code(err))
	var fields []string
	for _, d := range status.Convert(err).Details() {
		if bad, ok := d.(*errdetails.BadRequest); ok {
			for _, v := range bad.GetFieldViolations() {
				fields = append(fields, v.GetField())
			}
		}
	}
	assert.Contains(t, fields, "job.vehicle_id")
}
