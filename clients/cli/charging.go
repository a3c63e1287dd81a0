package cli

import (
	"context"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
	"github.com/spf13/cobra"
)

// chargingCommand makes "lugbook charging".
func chargingCommand(s *session) *cobra.Command {
	return &cobra.Command{
		Use:   "charging FILE",
		Short: "Set what the vehicle charges against what a job takes",
		Long: "Charging reads a job as \"lugbook quote\" does and says what the alternator or stator leaves\n" +
			"over at idle and when cruising, how long the battery lasts with the engine off, and what\n" +
			"to change where it is not enough. FILE may be - for standard input.",
		Example: "  lugbook charging touring-motorcycle.yaml",
		Args:    oneFile,
		RunE: s.run(func(cmd *cobra.Command, args []string) error {
			return balance(cmd.Context(), s, args[0])
		}),
	}
}

// balance balances the job of a file.
func balance(ctx context.Context, s *session, name string) error {
	var job lugbookv1.Job
	source, err := readFile(s, name, &job)
	if err != nil {
		return err
	}
	conn, done, err := s.connect(ctx)
	if err != nil {
		return err
	}
	defer done()
	reply, err := lugbookv1.NewDesignServiceClient(conn).BalanceCharging(ctx, &lugbookv1.BalanceChargingRequest{Job: &job, Language: s.language, UnitSystem: s.units})
	if err != nil {
		return s.callFault(err, placeInFile(source, "job"))
	}
	return s.show(reply, func(p *page.Page) {
		charging(p, reply.GetCharging())
		bullets(p, "What draws", loadTexts(reply.GetLoads()))
		bullets(p, "Assumptions", reply.GetAssumptions())
	})
}

// loadTexts says what each device takes.
func loadTexts(loads []*lugbookv1.AverageLoad) []string {
	var texts []string
	for _, l := range loads {
		text := firstOf(l.GetLabel(), l.GetDeviceId()) + ": " + amps(l.GetAverageA()) + " on average, " + amps(l.GetFullA()) + " at most"
		if l.GetEngineOff() {
			text += "; with the engine off, too"
		}
		texts = append(texts, text)
	}
	return texts
}
