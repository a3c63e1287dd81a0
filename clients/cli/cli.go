package cli

import (
	"context"
	"fmt"
	"io"
	"os"
	"time"

	"example.com/lugbook/clients/jobfile"
	"github.com/spf13/cobra"
	"github.com/spf13/viper"
	"golang.org/x/term"
	"google.golang.org/grpc"
)

// defaultWidth is how many columns are used where the output is no terminal.
const defaultWidth = 80

// Options is what the command line stands on. Stdout, Stderr and Conn are
// required.
type Options struct {
	// Conn gives the connection to use where no address is set, such as the one to
	// a service in the same process. It is called once for a command that needs
	// the service; whoever made the connection closes it. A [MalformedError] says
	// that the person's own input is why there is none.
	Conn func(ctx context.Context) (grpc.ClientConnInterface, error)
	// Stdin is read where a file is named "-". Nil is empty.
	Stdin io.Reader
	// Stdout takes the result and nothing else.
	Stdout io.Writer
	// Stderr takes errors and hints.
	Stderr io.Writer
	// Width is the number of columns that text is laid out for. 0: those of the
	// terminal where Stdout is one, else 80.
	Width int
	// Location is the time zone of dates. Nil means the process's own.
	Location *time.Location
	// Version is what "lugbook version" prints. Empty means "unknown".
	Version string
}

// CLI runs commands. It keeps nothing from one run to the next.
type CLI struct{ Options }

// New makes a command line.
func New(options Options) *CLI {
	if options.Width == 0 {
		options.Width = terminalWidth(options.Stdout)
	}
	if options.Location == nil {
		options.Location = time.Local
	}
	return &CLI{Options: options}
}

// terminalWidth gives the columns of the terminal that a writer leads to.
func terminalWidth(w io.Writer) int {
	if file, ok := w.(*os.File); ok {
		if columns, _, err := term.GetSize(int(file.Fd())); err == nil && columns > 0 {
			return columns
		}
	}
	return defaultWidth
}

// Run runs the command that the arguments name, without the program's own name,
// and gives the exit code as a plain number; [ExitCode] has the meanings. Errors
// are told on Stderr.
func (c *CLI) Run(ctx context.Context, args []string) int {
	root := c.root()
	root.SetArgs(append([]string{}, args...)) // nil would mean the process's own
	command, err := root.ExecuteContextC(ctx)
	if err != nil {
		c.tell(command, err)
	}
	return int(exitCode(err))
}

// root builds the tree of commands.
func (c *CLI) root() *cobra.Command {
	root := &cobra.Command{
		Use:   "lugbook",
		Short: "Size, terminate and price low-voltage wiring",
		Long: "Lugbook answers what it takes to feed equipment in a vehicle or boat properly, and what\n" +
			"that costs: cable, fuses, terminals, sleeves and labour from the shop's own catalog.",
		Example: "  lugbook size --current 60A --length 5.5m\n" +
			"  lugbook quote camper-van.yaml\n" +
			"  lugbook quotes list --text van",
		Args:          noSuchCommand,
		RunE:          func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
		SilenceErrors: true,
		SilenceUsage:  true,
	}
	root.SetIn(c.Stdin)
	root.SetOut(c.Stdout)
	root.SetErr(c.Stderr)
	root.SetFlagErrorFunc(flagFault)
	s := &session{cli: c, settings: viper.New()}
	s.addSettings(root)
	root.AddCommand(
		quoteCommand(s), quotesCommand(s), sizeCommand(s), jointCommand(s), fuseCommand(s), chargingCommand(s), catalogCommand(s), versionCommand(s),
		exitCodesTopic(), jobFilesTopic(), unitsTopic(),
	)
	return root
}

// noSuchCommand refuses arguments of a command that only groups others.
func noSuchCommand(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	hint := fmt.Sprintf("%q lists the commands", cmd.CommandPath()+" --help")
	var names []string
	for _, c := range cmd.Commands() {
		names = append(names, c.Name())
	}
	if near := jobfile.Nearest(args[0], names); near != "" {
		hint = fmt.Sprintf("did you mean %q?", cmd.CommandPath()+" "+near)
	}
	return misuse(hint, "there is no command %q", cmd.CommandPath()+" "+args[0])
}
