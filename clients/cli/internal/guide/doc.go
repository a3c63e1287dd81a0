// Package guide makes a job out of answers: of flags, one piece of equipment at a
// time ([ParseDevice]), or of a conversation on a terminal ([Guide.Run]). It puts
// together the request that a job file would hold and reckons nothing; whether the
// job can be met, and at what price, the service says.
package guide
