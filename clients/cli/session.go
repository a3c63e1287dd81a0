package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"regexp"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
	"example.com/lugbook/clients/dial"
	"github.com/spf13/cobra"
	"github.com/spf13/viper"
	"google.golang.org/grpc"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"
)

// Names of the settings: a flag each, and a variable LUGBOOK_… of the
// environment, which the flag overrides.
const (
	settingOutput  = "output"
	settingUnits   = "units"
	settingLang    = "lang"
	settingAddress = "address"

	// How the server at an address is spoken to.
	settingTLS       = "tls"
	settingCA        = "ca"
	settingToken     = "token" // of the environment alone: what is typed stands in lists of processes
	settingTokenFile = "token-file"

	envPrefix = "lugbook"

	// Of the commands about stored quotes.
	settingStaff      = "staff"
	settingNoInput    = "no-input"
	settingAccessible = "accessible"
)

// Values of the output setting.
const (
	outputText = "text"
	outputJSON = "json"
)

// languageTag is the form of a BCP 47 tag; whether there is wording for it is the
// service's affair.
var languageTag = regexp.MustCompile(`^[A-Za-z]{2,8}(-[A-Za-z0-9]{1,8})*$`)

// session is one run of one command.
type session struct {
	cli      *CLI
	settings *viper.Viper

	// What check made of the settings.
	json     bool
	units    lugbookv1.UnitSystem
	language string
	address  string
	dialling dial.Options

	conn grpc.ClientConnInterface // while a command has it
}

// addSettings adds the flags that every command has.
func (s *session) addSettings(root *cobra.Command) {
	flags := root.PersistentFlags()
	flags.String(settingOutput, outputText, "form of the result: text or json")
	flags.String(settingUnits, "", "units of lengths, sizes and sentences: us or metric (default the shop's)")
	flags.String(settingLang, "", `language of sentences, such as en (default "en")`)
	flags.String(settingAddress, "", "server to ask, host:port or unix:/path (default: in this process)")
	flags.Bool(settingTLS, false, "encrypt the connection to --address, which may then be on another machine")
	flags.String(settingCA, "", "`file` of those who may have issued the server's certificate, in PEM; encrypts like --tls (default: whom this machine trusts)")
	flags.String(settingTokenFile, "", "`file` with the token that tells the server who asks (default: the token in LUGBOOK_TOKEN)")
	s.settings.SetEnvPrefix(envPrefix)
	s.settings.SetEnvKeyReplacer(strings.NewReplacer("-", "_"))
	s.settings.AutomaticEnv()
	for _, name := range []string{settingOutput, settingUnits, settingLang, settingAddress, settingTLS, settingCA, settingTokenFile} {
		// Binding fails only for a flag that is nil, and these were made above.
		if err := s.settings.BindPFlag(name, flags.Lookup(name)); err != nil {
			panic(err)
		}
	}
	completeWords(root, settingOutput, outputText, outputJSON)
	completeWords(root, settingUnits, unitWords()...)
}

// check reads the settings and refuses wrong ones.
func (s *session) check(cmd *cobra.Command) error {
	get := func(name string) string { return strings.TrimSpace(s.settings.GetString(name)) }
	origin := func(name string) string {
		if cmd.Flags().Changed(name) {
			return "--" + name
		}
		return strings.ToUpper(envPrefix + "_" + name)
	}
	switch form := strings.ToLower(get(settingOutput)); form {
	case outputText, outputJSON:
		s.json = form == outputJSON
	default:
		return misuse("", "%s: there is no output %q; allowed: %s, %s", origin(settingOutput), form, outputText, outputJSON)
	}
	if word := get(settingUnits); word != "" {
		flag := wordFlag{enum: s.units.Descriptor()}
		if err := flag.Set(word); err != nil {
			return misuse("", "%s: %v", origin(settingUnits), err)
		}
		s.units = lugbookv1.UnitSystem(flag.number)
	}
	if s.language = get(settingLang); s.language != "" && !languageTag.MatchString(s.language) {
		return misuse("", "%s: %q is not a language tag, such as en or es-MX", origin(settingLang), s.language)
	}
	if s.address = get(settingAddress); s.address == "" {
		return nil
	}
	s.dialling = dial.Options{TLS: s.settings.GetBool(settingTLS), CA: get(settingCA), Token: get(settingToken)}
	if path := get(settingTokenFile); path != "" {
		raw, err := os.ReadFile(path)
		if err != nil {
			return misuse("", "%s: %v", origin(settingTokenFile), err)
		}
		s.dialling.Token = strings.TrimSpace(string(raw))
	}
	if strings.ContainsFunc(s.dialling.Token, func(r rune) bool { return r <= ' ' || r > '~' }) {
		return misuse("", "the token holds characters that no token has; it is one line of letters, digits, - and _")
	}
	if err := dial.CheckWith(s.address, s.dialling); err != nil {
		return misuse("", "%s: %v", origin(settingAddress), err)
	}
	return nil
}

// run makes the function that cobra runs: it checks the settings first. The
// command's own errors have a type that exitCode knows.
func (s *session) run(f func(cmd *cobra.Command, args []string) error) func(*cobra.Command, []string) error {
	return func(cmd *cobra.Command, args []string) error {
		if err := s.check(cmd); err != nil {
			return err
		}
		return f(cmd, args)
	}
}

// connect gives the connection to the service and the function that gives it
// back. A command that asks for it again before that gets the same one.
func (s *session) connect(ctx context.Context) (grpc.ClientConnInterface, func(), error) {
	if s.conn != nil {
		return s.conn, func() {}, nil
	}
	if s.address == "" {
		conn, err := s.cli.Conn(ctx)
		if err != nil {
			return nil, nil, startFault(err)
		}
		s.conn = conn
		return conn, func() { s.conn = nil }, nil
	}
	conn, err := dial.OpenWith(s.address, s.dialling)
	if err != nil {
		return nil, nil, &failure{code: Misused, err: err}
	}
	s.conn = conn
	return conn, func() {
		s.conn = nil
		_ = conn.Close() // the reply is here already; nothing hangs on the close
	}, nil
}

// show writes a reply: as JSON, or as the page that lay makes of it.
func (s *session) show(reply proto.Message, lay func(*page.Page)) error {
	text, err := s.lay(s.cli.Width, reply, lay)
	if err != nil {
		return err
	}
	return s.write(text)
}

// lay gives a reply as JSON, or as the page of that width that lay makes of it.
func (s *session) lay(width int, reply proto.Message, lay func(*page.Page)) ([]byte, error) {
	if s.json {
		text, err := replyJSON(reply)
		if err != nil {
			return nil, &failure{code: Failed, err: err}
		}
		return text, nil
	}
	p := page.New(width)
	lay(p)
	return []byte(p.String()), nil
}

// write writes the result.
func (s *session) write(text []byte) error {
	if _, err := s.cli.Stdout.Write(text); err != nil {
		return &failure{code: Failed, err: fmt.Errorf("write the result: %w", err)}
	}
	return nil
}

// note tells something beside the result.
func (s *session) note(format string, args ...any) {
	fmt.Fprintf(s.cli.Stderr, format+"\n", args...)
}

// input gives the standard input.
func (s *session) input() io.Reader {
	if s.cli.Stdin == nil {
		return bytes.NewReader(nil)
	}
	return s.cli.Stdin
}

// replyJSON gives a reply as JSON with the contract's field names. protojson
// varies its spaces on purpose, so they are laid anew.
func replyJSON(reply proto.Message) ([]byte, error) {
	raw, err := protojson.MarshalOptions{UseProtoNames: true}.Marshal(reply)
	if err != nil {
		return nil, fmt.Errorf("write the reply as JSON: %w", err)
	}
	var b bytes.Buffer
	if err := json.Indent(&b, raw, "", "  "); err != nil {
		return nil, fmt.Errorf("indent the reply: %w", err)
	}
	b.WriteByte('\n')
	return b.Bytes(), nil
}
