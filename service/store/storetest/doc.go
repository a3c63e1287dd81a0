// Package storetest is what every store of quotes must do, as tests that run over any
// of them:
//
//	func TestConformance(t *testing.T) { storetest.Run(t, open) }
//
// A fault of a store is first a case here, and then mended. Beside the cases stands a
// plain model of a store in memory; the last test has a store and the model do the same
// things in any order, and agree.
package storetest
