package rpc

import (
	"strings"
	"testing"
	"time"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/service/quoting"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/types/known/timestamppb"
)

// kept is a quote as it is stored, with everything that a head and a customer bring.
func kept(t *testing.T) (quoting.Revision, *pb.Job, *pb.Quote) {
	t.Helper()
	job := &pb.Job{Customer: &pb.Customer{Name: "Somebody"}, Notes: []string{"Call first."}, VehicleId: "sedan"}
	quote := &pb.Quote{Number: "x", Revision: 9, State: pb.QuoteState_QUOTE_STATE_DRAFT, Etag: "x", CreateTime: timestamppb.New(time.Unix(1, 0)), Customer: job.GetCustomer(), Notes: job.GetNotes(),
		Lines: []*pb.Line{{Id: "p1", Sku: "A", Quantity: 0.3, Cost: dollars(150), Margin: dollars(50)}, {Id: "l1", Operation: "TEST", Quantity: 1}}, Totals: &pb.Totals{Total: dollars(200), Cost: dollars(150), Margin: dollars(50)},
		Assumptions: []string{strings.Repeat("The length was not measured. ", 100)}}
	short, err := snapshot(proto.CloneOf(quote))
	require.NoError(t, err)
	asked, personal, err := split(job)
	require.NoError(t, err)
	return quoting.Revision{Number: "2026-00001", Revision: 2, CreateTime: time.Unix(5, 0), Format: snapshotFormat, Snapshot: short, Job: asked, Personal: personal}, job, quote
}

func TestWhatIsKeptIsReadAsItWas(t *testing.T) {
	r, job, want := kept(t)
	head := quoting.Head{Number: "2026-00001", Revision: 2, Version: 3}
	want.Number, want.Revision, want.State, want.Etag, want.CreateTime = "2026-00001", 2, pb.QuoteState_QUOTE_STATE_EXPIRED, head.ETag(), timestamppb.New(time.Unix(5, 0))
	got, err := storedQuote(quoting.Stored{Head: head, Revision: r, State: quoting.Expired}, true)
	require.NoError(t, err)
	assert.True(t, proto.Equal(want, got))
	asked, err := storedJob(&r)
	require.NoError(t, err)
	assert.True(t, proto.Equal(job, asked))
	parts, err := partsOf(r)
	require.NoError(t, err)
	assert.Equal(t, []quoting.Part{{SKU: "A", Quantity: "0.3"}}, parts, "labour is no part")

	for _, text := range []string{"Somebody", "Call first"} {
		assert.NotContains(t, string(r.Job), text)
		raw, err := inflate(r.Snapshot)
		require.NoError(t, err)
		assert.NotContains(t, string(raw), text, "what is personal stands apart")
	}
	assert.Less(t, len(r.Snapshot), 500)
	r.Personal = nil // erased
	got, err = storedQuote(quoting.Stored{Head: head, Revision: r, State: quoting.Expired}, true)
	require.NoError(t, err)
	want.Customer, want.Notes = nil, nil
	assert.True(t, proto.Equal(want, got))
}

// Bytes that a disk or a later version has changed are told, and bring nothing down.
func TestDamagedBytesAreTold(t *testing.T) {
	sound, _, _ := kept(t)
	for name, damage := range map[string]func(*quoting.Revision){
		"cut":     func(r *quoting.Revision) { r.Snapshot = r.Snapshot[:len(r.Snapshot)/2] },
		"empty":   func(r *quoting.Revision) { r.Snapshot = nil },
		"garbage": func(r *quoting.Revision) { r.Snapshot = []byte{0xff, 0xff, 0xff} },
		"person":  func(r *quoting.Revision) { r.Personal = []byte{0xff} },
	} {
		r := sound
		damage(&r)
		_, err := storedQuote(quoting.Stored{Revision: r}, true)
		require.ErrorContains(t, err, "quote 2026-00001, revision 2", name)
	}
	r := sound
	r.Format = snapshotFormat + 1
	_, err := storedQuote(quoting.Stored{Revision: r}, true)
	require.ErrorIs(t, err, quoting.ErrNewer)
	_, err = storedJob(&r)
	require.ErrorIs(t, err, quoting.ErrNewer)
	_, err = partsOf(r)
	require.ErrorIs(t, err, quoting.ErrNewer)
}

func FuzzReadQuote(f *testing.F) {
	f.Add([]byte{}, []byte{})
	f.Add([]byte{0x03, 0x00}, []byte{0x0a, 0x00})
	f.Fuzz(func(t *testing.T, short, personal []byte) {
		r := quoting.Revision{Format: snapshotFormat, Snapshot: short, Job: personal, Personal: personal}
		if q, err := storedQuote(quoting.Stored{Revision: r}, false); err == nil && q == nil {
			t.Fatal("neither a quote nor an error")
		}
		if _, err := partsOf(r); err == nil {
			if _, err := readQuote(&r); err != nil {
				t.Fatal("parts of what cannot be read")
			}
		}
		if _, err := storedJob(&r); err == nil && len(personal) > 0 {
			if _, err := readJob(&r, personal); err != nil {
				t.Fatal("a job of what cannot be read")
			}
		}
	})
}
