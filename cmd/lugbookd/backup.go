package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"

	"example.com/lugbook/service/store/sqlite"
)

// tending gives the command that looks after a store, where the arguments name one.
func tending(args []string) (func(ctx context.Context, args []string, out, errs io.Writer) int, bool) {
	if len(args) == 0 {
		return nil, false
	}
	switch args[0] {
	case "backup":
		return backup, true
	case "restore":
		return restore, true
	}
	return nil, false
}

// backup copies the store in a file, which may be in use.
func backup(ctx context.Context, args []string, out, errs io.Writer) int {
	var from, to string
	flags := flagsOf("backup", "lugbookd backup --store FILE --to FILE", errs)
	flags.StringVar(&from, "store", "", "`file` of the store; it may be in use")
	flags.StringVar(&to, "to", "", "`file` to write, which is not there yet")
	if code, ok := parsed(flags, args, 0); !ok {
		return code
	}
	if from == "" || to == "" {
		return misused(flags, errors.New("--store and --to are needed"))
	}
	if err := sqlite.Backup(ctx, from, to); err != nil {
		return failed(errs, err)
	}
	return found(ctx, to, out, errs)
}

// restore checks a copy of a store and, unless it is only to be checked, puts it in
// the place of a store that is not there.
func restore(ctx context.Context, args []string, out, errs io.Writer) int {
	var checkOnly bool
	var to string
	flags := flagsOf("restore", "lugbookd restore --check COPY\nlugbookd restore --store FILE COPY", errs)
	flags.BoolVar(&checkOnly, "check", false, "read the copy through and through and write nothing")
	flags.StringVar(&to, "store", "", "`file` of the store, which is not there yet")
	if code, ok := parsed(flags, args, 1); !ok {
		return code
	}
	if checkOnly == (to != "") {
		return misused(flags, errors.New("one of --check and --store is needed"))
	}
	if code := found(ctx, flags.Arg(0), out, errs); code != exitDone || checkOnly {
		return code
	}
	if err := sqlite.Backup(ctx, flags.Arg(0), to); err != nil {
		return failed(errs, err)
	}
	return exitDone
}

// found checks a store and says what is in it.
func found(ctx context.Context, path string, out, errs io.Writer) int {
	c, err := sqlite.Check(ctx, path)
	if err != nil {
		return failed(errs, err)
	}
	fmt.Fprintf(out, "%s is whole: version %d, %d quotes, %d revisions, %d documents, %d events, %d movements of stock, %d catalogs\n",
		path, c.Version, c.Quotes, c.Revisions, c.Documents, c.Events, c.Movements, c.Catalogs)
	return exitDone
}

func flagsOf(name, usage string, errs io.Writer) *flag.FlagSet {
	flags := flag.NewFlagSet(name, flag.ContinueOnError)
	flags.SetOutput(errs)
	flags.Usage = func() {
		fmt.Fprintln(errs, usage)
		flags.PrintDefaults()
	}
	return flags
}

// parsed reads flags and so many arguments; where it gives false, the program ends with
// the code.
func parsed(flags *flag.FlagSet, args []string, arguments int) (int, bool) {
	err := flags.Parse(args)
	switch {
	case errors.Is(err, flag.ErrHelp):
		return exitDone, false
	case err != nil:
		return exitUsage, false
	case flags.NArg() > arguments:
		return misused(flags, fmt.Errorf("unexpected argument %q", flags.Arg(arguments))), false
	case flags.NArg() < arguments:
		return misused(flags, errors.New("a file is missing")), false
	}
	return exitDone, true
}

func misused(flags *flag.FlagSet, err error) int {
	fmt.Fprintf(flags.Output(), "lugbookd %s: %v\nhint: lugbookd %s --help\n", flags.Name(), err, flags.Name())
	return exitUsage
}

func failed(errs io.Writer, err error) int {
	fmt.Fprintf(errs, "lugbookd: %v\n", err)
	return exitFailed
}
