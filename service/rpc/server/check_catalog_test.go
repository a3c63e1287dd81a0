package server_test

import (
	"bytes"
	"io/fs"
	"strings"
	"testing"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
)

func piece(name string, data []byte) *pb.CheckCatalogRequest {
	return &pb.CheckCatalogRequest{Content: &pb.CheckCatalogRequest_Piece{Piece: &pb.CatalogPiece{FileName: name, Data: data}}}
}

// send sends the pieces; the reply tells where the server broke it off.
func send(t *testing.T, conn *grpc.ClientConn, requests ...*pb.CheckCatalogRequest) (*pb.CheckCatalogResponse, error) {
	t.Helper()
	stream, err := pb.NewCatalogServiceClient(conn).CheckCatalog(t.Context())
	require.NoError(t, err)
	for _, r := range requests {
		if stream.Send(r) != nil {
			break
		}
	}
	return stream.CloseAndRecv()
}

// demoPieces sends the demo shop in pieces of a kilobyte, each file bent first.
func demoPieces(t *testing.T, bend func(name, text string) string) []*pb.CheckCatalogRequest {
	t.Helper()
	var all []*pb.CheckCatalogRequest
	for _, name := range catalog.Files() {
		raw, err := fs.ReadFile(demo.Files(), name)
		require.NoError(t, err)
		all = append(all, piece(name, nil))
		for text := []byte(bend(name, string(raw))); len(text) > 0; {
			n := min(1024, len(text))
			all = append(all, piece("", text[:n]))
			text = text[n:]
		}
	}
	return all
}

func as(_, text string) string { return text }

func TestCheckCatalogInForceAndSent(t *testing.T) {
	conn, _ := start(t)
	inForce, err := send(t, conn)
	require.NoError(t, err)
	assert.Len(t, inForce.GetCatalogRevision(), 64)
	assert.EqualValues(t, 595, inForce.GetPartCount())
	assert.Len(t, inForce.GetConductors(), 162)
	for _, f := range inForce.GetFindings() {
		assert.Equal(t, pb.Severity_SEVERITY_ADVICE, f.GetSeverity(), f.GetText())
	}

	sent, err := send(t, conn, demoPieces(t, as)...)
	require.NoError(t, err)
	assert.Equal(t, inForce.GetCatalogRevision(), sent.GetCatalogRevision())

	broken, err := send(t, conn, demoPieces(t, func(name, text string) string {
		if name == "fuses.csv" {
			return strings.Replace(text, "blade,1,", "blaed,1,", 1)
		}
		return text
	})...)
	require.NoError(t, err)
	assert.Empty(t, broken.GetCatalogRevision())
	require.Len(t, broken.GetFaults(), 1)
	fault := broken.GetFaults()[0]
	assert.Equal(t, "fuses.csv", fault.GetFile())
	assert.EqualValues(t, 2, fault.GetLine())
	assert.EqualValues(t, 8, fault.GetColumn())
	assert.Contains(t, fault.GetProblem(), "did you mean blade?")
}

func TestCheckCatalogNamesWhereWorkStops(t *testing.T) {
	conn, _ := start(t)
	options := &pb.CheckCatalogRequest{Content: &pb.CheckCatalogRequest_Options{Options: &pb.CheckCatalogOptions{UnitSystem: pb.UnitSystem_UNIT_SYSTEM_METRIC}}}
	pieces := demoPieces(t, func(name, text string) string {
		if name != "terminals.csv" {
			return text
		}
		var kept strings.Builder
		for line := range strings.Lines(text) {
			if !strings.HasPrefix(line, "LG-1-0-M10,") && !strings.HasPrefix(line, "LG-1-0-38,") {
				kept.WriteString(line)
			}
		}
		return kept.String()
	})
	reply, err := send(t, conn, append([]*pb.CheckCatalogRequest{options}, pieces...)...)
	require.NoError(t, err)
	first := reply.GetFindings()[1]
	assert.Equal(t, pb.Severity_SEVERITY_FAULT, first.GetSeverity())
	assert.Equal(t, "No stocked terminal (ring terminal) fits 1/0 AWG and a M10 stud.", first.GetText())
	assert.Contains(t, first.GetStops(), "service-truck-24v/frame")
}

func TestCheckCatalogRefuses(t *testing.T) {
	conn, _ := start(t)
	options := &pb.CheckCatalogRequest{Content: &pb.CheckCatalogRequest_Options{Options: &pb.CheckCatalogOptions{}}}
	full := bytes.Repeat([]byte("x"), 1<<20)
	large := []*pb.CheckCatalogRequest{piece("fuses.csv", nil)}
	for range 65 {
		large = append(large, piece("", full))
	}
	var many []*pb.CheckCatalogRequest
	for n := range 65 {
		many = append(many, piece(strings.Repeat("a", n+1), nil))
	}
	for name, requests := range map[string][]*pb.CheckCatalogRequest{
		"no name":       {piece("", []byte("x"))},
		"a folder":      {piece("../shop.yaml", nil)},
		"file twice":    {piece("shop.yaml", nil), piece("shop.yaml", nil)},
		"nothing":       {{}},
		"options late":  {piece("shop.yaml", nil), options},
		"options twice": {options, options},
		"too large":     large,
		"too many":      many,
	} {
		t.Run(name, func(t *testing.T) {
			_, err := send(t, conn, requests...)
			assert.Equal(t, codes.InvalidArgument, status.Code(err), "%v", err)
			assert.NotContains(t, status.Convert(err).Message(), "{")
		})
	}
}
