package rpc

import (
	"context"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/quoting"

	"google.golang.org/protobuf/proto"
)

// AcceptQuote records that the customer agreed, and sets the parts aside.
func (s *QuoteService) AcceptQuote(ctx context.Context, r *pb.AcceptQuoteRequest) (*pb.AcceptQuoteResponse, error) {
	p := s.prose("", 0)
	in := newIntake(r)
	request, ref, revision := in.request(ctx, r), in.quoteRef("number", r.GetNumber()), in.revision("revision", r.GetRevision())
	if len(in.bad) > 0 {
		return nil, p.invalid(in.bad, "")
	}
	stored, reserved, err := s.quoting.Accept(ctx, ref, revision, request, partsOf)
	if err != nil {
		return nil, p.statusOf(err, "")
	}
	quote, err := storedQuote(stored, false)
	out := &pb.AcceptQuoteResponse{Quote: quote}
	for i := range reserved {
		out.Reservations = append(out.Reservations, reservation(&reserved[i]))
	}
	return out, p.statusOf(err, "")
}

func reservation(r *quoting.Reserved) *pb.Reservation {
	out := &pb.Reservation{Sku: r.SKU, Description: r.Description, Quantity: r.Quantity.Units(), Unit: r.Unit}
	if r.Counted {
		out.Missing = proto.Float64(r.Missing.Units())
	}
	return out
}

// DeclineQuote records that the customer refused.
func (s *QuoteService) DeclineQuote(ctx context.Context, r *pb.DeclineQuoteRequest) (*pb.DeclineQuoteResponse, error) {
	p := s.prose("", 0)
	in := newIntake(r)
	request, ref := in.request(ctx, r), in.quoteRef("number", r.GetNumber())
	if len(in.bad) > 0 {
		return nil, p.invalid(in.bad, "")
	}
	stored, err := s.quoting.Decline(ctx, ref, request)
	if err != nil {
		return nil, p.statusOf(err, "")
	}
	quote, err := storedQuote(stored, false)
	return &pb.DeclineQuoteResponse{Quote: quote}, p.statusOf(err, "")
}

// WithdrawQuote takes a quote back.
func (s *QuoteService) WithdrawQuote(ctx context.Context, r *pb.WithdrawQuoteRequest) (*pb.WithdrawQuoteResponse, error) {
	p := s.prose("", 0)
	in := newIntake(r)
	request, ref := in.request(ctx, r), in.quoteRef("number", r.GetNumber())
	if len(in.bad) > 0 {
		return nil, p.invalid(in.bad, "")
	}
	stored, err := s.quoting.Withdraw(ctx, ref, request)
	if err != nil {
		return nil, p.statusOf(err, "")
	}
	quote, err := storedQuote(stored, false)
	return &pb.WithdrawQuoteResponse{Quote: quote}, p.statusOf(err, "")
}

// EraseCustomer removes what is known of the customers of stored quotes.
func (s *QuoteService) EraseCustomer(ctx context.Context, r *pb.EraseCustomerRequest) (*pb.EraseCustomerResponse, error) {
	p := s.prose("", 0)
	in := newIntake(r)
	request := in.request(ctx, r)
	if n := len(r.GetNumbers()); n == 0 || n > maxErased {
		in.fault("numbers", "count", electrical.Num("given", n, electrical.UnitCount), electrical.Num("low", 1, electrical.UnitCount), electrical.Num("high", maxErased, electrical.UnitCount))
	}
	var refs []quoting.Ref
	for i, number := range r.GetNumbers() {
		refs = append(refs, in.quoteRef(indexed("numbers", i), number))
	}
	if len(in.bad) > 0 {
		return nil, p.invalid(in.bad, "")
	}
	numbers, err := s.quoting.Erase(ctx, refs, request)
	if err != nil {
		return nil, p.statusOf(err, "")
	}
	return &pb.EraseCustomerResponse{Numbers: numbers}, nil
}
