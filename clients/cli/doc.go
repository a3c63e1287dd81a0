// Package cli is the command line of Lugbook: it reads flags and job files, makes
// one call of the service, and prints the reply. It reckons nothing: every number
// and sentence it prints was in the reply, at most in another unit.
//
//	app := cli.New(cli.Options{Conn: inProcess, Stdin: os.Stdin, Stdout: os.Stdout, Stderr: os.Stderr})
//	os.Exit(app.Run(ctx, os.Args[1:]))
//
// The result goes to standard output and everything else to standard error. The
// text form is for people and may change. The JSON form is the reply's protojson
// with the field names of the contract (snake_case, as job files have them),
// without unset fields, indented by two spaces; scripts may rely on it.
//
// Exit codes are the constants of [ExitCode].
package cli
