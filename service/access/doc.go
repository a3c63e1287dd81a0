// Package access makes the tokens by which callers are known, and knows them again.
//
// A secret is 256 bits of chance, so nobody finds it by trying, and a plain SHA-256
// of it can be stored: a slow hash protects what people choose, which could be
// guessed, and would only make a flood of wrong tokens dear here. For the same reason
// it does no harm that a sum is looked up in a map: how long that takes may tell about
// sums, and nobody can choose a secret by its sum.
package access
