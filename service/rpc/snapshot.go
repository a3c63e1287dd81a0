package rpc

import (
	"bytes"
	"compress/flate"
	"fmt"
	"io"
	"strconv"
	"sync"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/service/quoting"

	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/types/known/timestamppb"
)

// snapshotFormat says how the bytes of a revision are to be read:
//
//	1  Snapshot is a lugbook.v1.Quote without number, revision, state, etag,
//	   create_time, customer and notes, compressed by DEFLATE (RFC 1951); Job a
//	   lugbook.v1.Job without customer and notes; Personal a lugbook.v1.Job that holds
//	   nothing but these two.
//
// A field that the contract gains later is absent in older bytes. A change that this
// does not cover takes the next number, and the older ones stay readable.
const snapshotFormat = 1

// snapshot gives the bytes to keep of a quote. Cost and margin are among them.
func snapshot(q *pb.Quote) ([]byte, error) {
	q.Number, q.Revision, q.State, q.Etag, q.CreateTime = "", 0, 0, "", nil
	q.Customer, q.Notes = nil, nil
	raw, err := stable.Marshal(q)
	if err != nil {
		return nil, err
	}
	return deflate(raw)
}

// presses are compressors to be used again: a new one takes as long as its work.
var presses = sync.Pool{New: func() any {
	w, err := flate.NewWriter(io.Discard, flate.BestSpeed)
	if err != nil {
		panic(err) // the level is a constant that exists
	}
	return w
}}

// deflate makes a quote about a fifth as long, in less time than it takes to write
// the rest to a disk: its reasons repeat themselves.
func deflate(raw []byte) ([]byte, error) {
	var short bytes.Buffer
	w := presses.Get().(*flate.Writer)
	defer presses.Put(w)
	w.Reset(&short)
	if _, err := w.Write(raw); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return short.Bytes(), nil
}

// largestSnapshot is above what any quote comes to: twice what one reply may hold.
const largestSnapshot = 64 << 20

func inflate(short []byte) ([]byte, error) {
	raw, err := io.ReadAll(io.LimitReader(flate.NewReader(bytes.NewReader(short)), largestSnapshot))
	if err != nil {
		return nil, fmt.Errorf("inflate: %w", err)
	}
	return raw, nil
}

// split gives the bytes to keep of a job: what is wanted, and what is personal.
func split(job *pb.Job) (asked, personal []byte, err error) {
	bare := proto.CloneOf(job)
	bare.Customer, bare.Notes = nil, nil
	if asked, err = stable.Marshal(bare); err != nil {
		return nil, nil, err
	}
	personal, err = stable.Marshal(&pb.Job{Customer: job.GetCustomer(), Notes: job.GetNotes()})
	return asked, personal, err
}

// readable refuses the bytes of a format that a later version wrote.
func readable(r *quoting.Revision) error {
	if r.Format != snapshotFormat {
		return fmt.Errorf("quote %s, revision %d is kept in format %d: %w", r.Number, r.Revision, r.Format, quoting.ErrNewer)
	}
	return nil
}

// readQuote reads what was given out.
func readQuote(r *quoting.Revision) (*pb.Quote, error) {
	if err := readable(r); err != nil {
		return nil, err
	}
	raw, err := inflate(r.Snapshot)
	q := &pb.Quote{}
	if err == nil {
		err = proto.Unmarshal(raw, q)
	}
	if err != nil {
		return nil, fmt.Errorf("read quote %s, revision %d: %w", r.Number, r.Revision, err)
	}
	return q, nil
}

// readJob reads a job, or what is personal of one.
func readJob(r *quoting.Revision, raw []byte) (*pb.Job, error) {
	if err := readable(r); err != nil {
		return nil, err
	}
	job := &pb.Job{}
	if err := proto.Unmarshal(raw, job); err != nil {
		return nil, fmt.Errorf("read the job of quote %s, revision %d: %w", r.Number, r.Revision, err)
	}
	return job, nil
}

// storedQuote gives a stored quote as it was given out, with where it stands now.
// Cost and margin are left out unless they are wanted.
func storedQuote(s quoting.Stored, withCost bool) (*pb.Quote, error) {
	q, err := readQuote(&s.Revision)
	if err != nil {
		return nil, err
	}
	person, err := readJob(&s.Revision, s.Revision.Personal)
	if err != nil {
		return nil, err
	}
	q.Number, q.Revision, q.State, q.Etag = s.Head.Number, int32(s.Revision.Revision), quoteStates.number(string(s.State)), s.Head.ETag()
	q.CreateTime, q.Customer, q.Notes = timestamppb.New(s.Revision.CreateTime), person.GetCustomer(), person.GetNotes()
	if !withCost {
		hideCost(q)
	}
	return q, nil
}

// hideCost takes away what is not for everybody's eyes.
func hideCost(q *pb.Quote) {
	for _, l := range q.GetLines() {
		l.Cost, l.Margin = nil, nil
	}
	if q.Totals != nil {
		q.Totals.Cost, q.Totals.Margin = nil, nil
	}
}

// storedJob gives the job of a stored quote, with the customer.
func storedJob(r *quoting.Revision) (*pb.Job, error) {
	job, err := readJob(r, r.Job)
	if err != nil {
		return nil, err
	}
	person, err := readJob(r, r.Personal)
	if err != nil {
		return nil, err
	}
	job.Customer, job.Notes = person.GetCustomer(), person.GetNotes()
	return job, nil
}

// partsOf gives the parts that a stored quote takes.
func partsOf(r quoting.Revision) ([]quoting.Part, error) {
	q, err := readQuote(&r)
	if err != nil {
		return nil, err
	}
	var parts []quoting.Part
	for _, l := range q.GetLines() {
		if l.GetSku() != "" {
			parts = append(parts, quoting.Part{SKU: l.GetSku(), Description: l.GetDescription(), Quantity: decimal(l.GetQuantity()), Unit: l.GetUnit()})
		}
	}
	return parts, nil
}

// decimal writes the shortest decimal that names a number.
func decimal(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// contact gives what a quote shows and finds of its customer.
func contact(c *pb.Customer) quoting.Contact {
	return quoting.Contact{Name: c.GetName(), Phone: c.GetPhone(), Email: c.GetEmail(), Reference: c.GetReference()}
}
