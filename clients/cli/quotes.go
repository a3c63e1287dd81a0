package cli

import (
	"crypto/rand"
	"encoding/hex"
	"fmt"
	"regexp"
	"strings"

	"github.com/spf13/cobra"
)

// quotesFlagOf names the flag or argument behind each field of a request about
// stored quotes.
var quotesFlagOf = map[string]string{
	"number": "NUMBER", "numbers": "NUMBER", "revision": "--revision", "request_id": "--request-id", "etag": "--etag", "catalog_revision": "--revision",
	"staff": "--staff", "reason": "--reason", "states": "--state", "customer": "--customer", "vehicle": "--vehicle", "text": "--text",
	"created_from": "--since", "created_before": "--until", "page_size": "--limit",
}

// numberForm is how the number of a quote looks; which ones there are, the service
// knows.
var numberForm = regexp.MustCompile(`^(\d{4}-)?\d+$`)

// quotesCommand makes "lugbook quotes" and what is below it.
func quotesCommand(s *session) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "quotes",
		Short: "Make, find and settle quotes that are kept",
		Long: "Quotes keeps what was quoted: it is found by number, customer, vehicle or equipment and shown\n" +
			"as it was given out, whatever prices are today. NUMBER is 2026-00017 or its last part, 17.\n" +
			"LUGBOOK_STAFF, LUGBOOK_NO_INPUT and LUGBOOK_ACCESSIBLE stand for the flags of that name.",
		Example: "  lugbook quotes list\n" +
			"  lugbook quotes show 17",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 1 && numberForm.MatchString(args[0]) {
				return misuse(fmt.Sprintf("did you mean %q?", "lugbook quotes show "+args[0]), "not given: what to do with quote %s", args[0])
			}
			return noSuchCommand(cmd, args)
		},
		RunE: func(*cobra.Command, []string) error {
			return misuse(`"lugbook quotes list" shows them, "lugbook quotes create" makes one`, "not given: what to do with quotes")
		},
	}
	flags := cmd.PersistentFlags()
	flags.String(settingStaff, "", "who at the shop does this, for the record")
	flags.Bool(settingNoInput, false, "never ask, also on a terminal")
	flags.Bool(settingAccessible, false, "ask line by line, for screen readers")
	for _, name := range []string{settingStaff, settingNoInput, settingAccessible} {
		// Binding fails only for a flag that is nil, and these were made above.
		if err := s.settings.BindPFlag(name, flags.Lookup(name)); err != nil {
			panic(err)
		}
	}
	cmd.AddCommand(
		createCommand(s), listCommand(s), showCommand(s), reviseCommand(s),
		acceptCommand(s), declineCommand(s), withdrawCommand(s), requoteCommand(s), eraseCommand(s),
	)
	return cmd
}

// staff gives who does this, as the settings say.
func (s *session) staff() string { return strings.TrimSpace(s.settings.GetString(settingStaff)) }

// changeFlags is what every change of a stored quote may be given.
type changeFlags struct {
	requestID, etag, reason string
}

// add adds the flags to a command. The usage of the reason is left out for a
// change that keeps none.
func (f *changeFlags) add(cmd *cobra.Command, reason string) {
	flags := cmd.Flags()
	f.addRequestID(cmd)
	flags.StringVar(&f.etag, "etag", "", "etag of the quote that is meant; refused where it was changed since")
	flags.StringVar(&f.reason, "reason", "", reason)
}

// addRequestID adds the flag that makes a change safe to repeat.
func (f *changeFlags) addRequestID(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.requestID, "request-id", "", "id of this change; given again, it is done once (default a new one)")
}

// id gives the request's id: the given one, or a new one.
func (f *changeFlags) id() string {
	if f.requestID != "" {
		return f.requestID
	}
	return newRequestID()
}

// newRequestID makes an id that no other request has.
func newRequestID() string {
	var b [16]byte
	rand.Read(b[:]) // it never fails
	return hex.EncodeToString(b[:])
}

// oneNumber refuses any other number of arguments than one.
func oneNumber(cmd *cobra.Command, args []string) error {
	hint := fmt.Sprintf("%q shows examples, \"lugbook quotes list\" the numbers", cmd.CommandPath()+" --help")
	switch {
	case len(args) == 0:
		return misuse(hint, "not given: the number of the quote")
	case len(args) > 1:
		return misuse(hint, "one quote at a time: %q is too much", args[1])
	}
	return nil
}
