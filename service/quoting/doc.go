// Package quoting holds the use cases around quotes: it ties the vehicle, the
// design and the price together, at the catalog revision in force and the time
// the clock gives, and keeps what was given out. It is what the handlers call; it
// knows nothing of transport, and of the store only the interface it declares.
//
// # The life of a quote
//
// A stored quote is a [Head], which moves, and its [Revision] values, which never
// do: what was given out once is shown from there and not reckoned again. Every
// change goes through one transaction that looks the request id up, moves the head,
// and writes the event and the answer down together:
//
//	stored, err := service.Create(ctx, request, func(ctx context.Context) (quoting.Draft, error) { … })
//	accepted, err := service.Accept(ctx, ref, request, 0, partsOf)
//
// The design and the price are worked out before the transaction begins, since it
// may run more than once and holds others up.
//
// What a revision keeps is bytes to this package: those who hand it in read it
// again. Words to be found by, sums and parts come beside them.
package quoting
