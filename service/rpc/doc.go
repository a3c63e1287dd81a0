// Package rpc serves the contract: it turns requests into domain types, calls
// one use case, and turns the result, or the error, back. It is the only package
// that knows both the domain and the generated code. It holds no rule.
package rpc
