// Package server builds the grpc.Server of Lugbook: services, interceptors, health
// and reflection. The daemon serves it on a socket and the CLI over memory; both
// get the same server from New.
package server
