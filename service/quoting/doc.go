// Package quoting holds the use cases around quotes: it ties the vehicle, the
// design and the price together, at the catalog revision in force and the time
// the clock gives. It is what the handlers call; it knows nothing of transport.
package quoting
