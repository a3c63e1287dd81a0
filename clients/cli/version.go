package cli

import (
	"encoding/json"

	"github.com/spf13/cobra"
)

// versionCommand makes "lugbook version".
func versionCommand(s *session) *cobra.Command {
	return &cobra.Command{
		Use:     "version",
		Short:   "Print the version of this program",
		Long:    "Version prints the version of this program; it asks no server.",
		Example: "  lugbook version\n  lugbook version --output json",
		Args:    none,
		RunE: s.run(func(*cobra.Command, []string) error {
			version := firstOf(s.cli.Version, "unknown")
			if !s.json {
				return s.write([]byte("lugbook " + version + "\n"))
			}
			text, err := json.MarshalIndent(map[string]string{"version": version}, "", "  ")
			if err != nil {
				return &failure{code: Failed, err: err}
			}
			return s.write(append(text, '\n'))
		}),
	}
}
