package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"text/tabwriter"
	"time"

	"example.com/lugbook/cmd/internal/storage"
	"example.com/lugbook/service/access"
	"example.com/lugbook/service/quoting"

	"github.com/spf13/pflag"
)

//nolint:gosec // it names the command, and is no secret
const tokenUsage = `lugbookd token create --role public|counter|owner --name NAME
lugbookd token list
lugbookd token revoke NAME`

// token makes, lists and revokes tokens in the store that the daemon works on, which may
// run meanwhile.
func token(ctx context.Context, args []string, out, errs io.Writer, env func(string) string) int {
	var s settings
	var role, name string
	all := flagsFor("token", &s, env)
	flags := pflag.NewFlagSet("token", pflag.ContinueOnError)
	flags.SetOutput(errs)
	flags.StringVar(&role, "role", "", "what its holder may do: public, counter or owner")
	flags.StringVar(&name, "name", "", "who holds it, such as till-1; what is done to a quote is written down under it")
	flags.Usage = func() { fmt.Fprintf(errs, "%s\n%s", tokenUsage, flags.FlagUsages()) }
	all.VisitAll(func(f *pflag.Flag) {
		if f.Name != "store" && f.Name != "config" {
			f.Hidden = true // the settings of the daemon are read, not meant
		}
	})
	flags.AddFlagSet(all)
	if err := load(flags, args, env); err != nil {
		if errors.Is(err, pflag.ErrHelp) {
			return exitDone
		}
		return misusedToken(errs, err)
	}
	do, err := tokenDeed(flags.Args(), role, name)
	if err != nil {
		return misusedToken(errs, err)
	}
	if s.store == "" {
		return misusedToken(errs, errors.New("--store names no place"))
	}
	store, err := storage.Open(ctx, s.store)
	if err != nil {
		return failed(errs, err)
	}
	err = errors.Join(do(ctx, store, out), store.Close())
	if err != nil {
		return failed(errs, err)
	}
	return exitDone
}

func misusedToken(errs io.Writer, err error) int {
	fmt.Fprintf(errs, "lugbookd token: %v\nhint: lugbookd token --help\n", err)
	return exitUsage
}

// deed is what is done to the tokens of a store.
type deed func(ctx context.Context, store quoting.Store, out io.Writer) error

func tokenDeed(words []string, role, name string) (deed, error) {
	switch {
	case len(words) == 1 && words[0] == "list":
		return listTokens, nil
	case len(words) == 2 && words[0] == "revoke":
		return func(ctx context.Context, store quoting.Store, out io.Writer) error {
			return revokeToken(ctx, store, out, words[1])
		}, nil
	case len(words) == 1 && words[0] == "create":
		secret, made, err := access.New(name, quoting.Role(role), time.Now())
		if err != nil {
			return nil, err
		}
		return func(ctx context.Context, store quoting.Store, out io.Writer) error {
			return addToken(ctx, store, out, secret, made)
		}, nil
	}
	return nil, errors.New("one of create, list and revoke NAME is needed")
}

// addToken stores a token and tells its secret, alone on standard output so that it can
// be piped.
func addToken(ctx context.Context, store quoting.Store, out io.Writer, secret string, t quoting.Token) error {
	err := store.Update(ctx, func(w quoting.Writer) error { return w.AddToken(t) })
	if errors.Is(err, quoting.ErrExists) {
		return fmt.Errorf("there is a token %s, or was; a name is given once", t.Name)
	}
	if err != nil {
		return err
	}
	_, err = fmt.Fprintln(out, secret)
	return err
}

func revokeToken(ctx context.Context, store quoting.Store, out io.Writer, name string) error {
	err := store.Update(ctx, func(w quoting.Writer) error { return w.RevokeToken(name, time.Now()) })
	if errors.Is(err, quoting.ErrNotFound) {
		return fmt.Errorf("there is no token %s", name)
	}
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(out, "%s is revoked; a running service knows within seconds\n", name)
	return err
}

func listTokens(ctx context.Context, store quoting.Store, out io.Writer) error {
	var all []quoting.Token
	if err := store.View(ctx, func(r quoting.Reader) (err error) {
		all, err = r.Tokens()
		return err
	}); err != nil {
		return err
	}
	table := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "NAME\tROLE\tMADE\tREVOKED")
	for _, t := range all {
		revoked := "-"
		if !t.RevokeTime.IsZero() {
			revoked = t.RevokeTime.Format(time.RFC3339)
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\n", t.Name, t.Role, t.CreateTime.Format(time.RFC3339), revoked)
	}
	return table.Flush()
}
