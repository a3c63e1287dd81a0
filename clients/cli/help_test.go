package cli_test

import (
	"net"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"
)

// commands are all commands that do something or group others.
var commands = []string{"", "quote", "size", "joint", "catalog", "catalog parts", "catalog vehicles", "catalog check", "catalog export", "catalog import", "catalog revisions",
	"catalog stock", "catalog stock count", "catalog stock receive", "catalog shortages", "version",
	"quotes", "quotes create", "quotes list", "quotes show", "quotes revise", "quotes accept", "quotes decline", "quotes withdraw", "quotes requote", "quotes erase"}

// example finds the examples of a help text.
var example = regexp.MustCompile(`(?m)^  lugbook (.+)$`)

// Each command explains itself, and its examples run.
func TestExamplesOfHelpRun(t *testing.T) {
	examples := t.TempDir() // some write files
	require.NoError(t, os.CopyFS(examples, os.DirFS(filepath.FromSlash("../../docs/examples"))))
	t.Chdir(examples)
	require.NoError(t, os.CopyFS("my-prices", os.DirFS(folder(t, map[string]int{"fuses.csv": 10}))))
	for _, command := range commands {
		help := new(fakeShop).run(t, "", append(strings.Fields(command), "--help")...)
		require.Equal(t, cli.Done, help.code)
		assert.Empty(t, help.errors)
		_, after, _ := strings.Cut(help.out, "\nExamples:\n")
		lines, _, _ := strings.Cut(after, "\n\n")
		found := example.FindAllStringSubmatch(lines, -1)
		assert.GreaterOrEqual(t, len(found), 2, "examples of %q", command)
		for _, line := range found {
			got := new(fakeShop).run(t, "", words(line[1])...)
			assert.Equal(t, cli.Done, got.code, "%s: %s", line[1], got.errors)
			assert.NotEmpty(t, got.out, line[1])
		}
	}
}

func TestTopics(t *testing.T) {
	t.Parallel()
	for topic, want := range map[string]string{
		"exit-codes": "2  wrong usage, or a file or flag that is malformed or contradicts itself",
		"job-files":  "vehicle_id: open-boat",
		"units":      "  temperature       °C, °F, K",
	} {
		got := new(fakeShop).run(t, "", "help", topic)
		assert.Equal(t, cli.Done, got.code)
		assert.Contains(t, got.out, want)
		for line := range strings.Lines(got.out) {
			assert.LessOrEqual(t, len([]rune(line)), 240, line)
		}
	}
	assert.Contains(t, new(fakeShop).run(t, "").out, "Additional help topics")
}

// The job of the help topic is one that may be copied.
func TestJobOfTopicIsRead(t *testing.T) {
	t.Parallel()
	_, after, _ := strings.Cut(new(fakeShop).run(t, "", "help", "job-files").out, "\n\n")
	job, _, found := strings.Cut(after, "\n\n")
	require.True(t, found)
	var shop fakeShop
	got := shop.run(t, job, "quote", "-")
	require.Equal(t, cli.Done, got.code, got.errors)
	request, ok := shop.got.(*lugbookv1.PreviewQuoteRequest)
	require.True(t, ok)
	assert.Equal(t, "open-boat", request.GetSource().GetJob().GetVehicleId())
}

func TestSettingsOfEnvironment(t *testing.T) {
	t.Setenv("LUGBOOK_OUTPUT", "json")
	t.Setenv("LUGBOOK_UNITS", "us")
	t.Setenv("LUGBOOK_LANG", "es")
	var shop fakeShop
	got := shop.run(t, "", "size", "--current", "1A", "--length", "1m")
	require.Equal(t, cli.Done, got.code, got.errors)
	assert.True(t, strings.HasPrefix(got.out, "{"), "not JSON: %s", got.out)
	request, ok := shop.got.(*lugbookv1.SizeRunRequest)
	require.True(t, ok)
	assert.Equal(t, lugbookv1.UnitSystem_UNIT_SYSTEM_US, request.GetUnitSystem())
	assert.Equal(t, "es", request.GetLanguage())

	got = new(fakeShop).run(t, "", "version", "--output", "text")
	assert.Equal(t, "lugbook 1.2.3-test\n", got.out, "a flag wins")

	t.Setenv("LUGBOOK_UNITS", "furlongs")
	got = new(fakeShop).run(t, "", "version")
	assert.Equal(t, result{cli.Misused, "", "lugbook: LUGBOOK_UNITS: unknown word \"furlongs\"; allowed: us, metric\n"}, got)
}

func TestAddress(t *testing.T) {
	t.Parallel()
	listener, err := new(net.ListenConfig).Listen(t.Context(), "tcp", "127.0.0.1:0")
	require.NoError(t, err)
	remote := &fakeShop{folder: "testdata"}
	server := grpc.NewServer()
	lugbookv1.RegisterCatalogServiceServer(server, remote)
	done := make(chan error, 1)
	go func() { done <- server.Serve(listener) }()

	var local fakeShop
	got := local.run(t, "", "catalog", "vehicles", "--address", listener.Addr().String())
	assert.Equal(t, cli.Done, got.code, got.errors)
	assert.NotNil(t, remote.got)
	assert.Nil(t, local.got)

	server.Stop()
	require.NoError(t, <-done)
	got = local.run(t, "", "catalog", "vehicles", "--address", listener.Addr().String())
	assert.Equal(t, cli.Failed, got.code)
	assert.Contains(t, got.errors, "the server does not answer")
}

func TestCompletion(t *testing.T) {
	t.Parallel()
	for line, want := range map[string]string{
		"size --return ":         "conductor\nchassis\n",
		"size --class ":          "a\nab\nd\ngh\n",
		"version --output ":      "text\njson\n",
		"catalog parts --units ": "us\nmetric\n",
	} {
		args := append([]string{"__complete"}, strings.Split(line, " ")...)
		got := new(fakeShop).run(t, "", args...)
		assert.Equal(t, cli.Done, got.code)
		assert.True(t, strings.HasPrefix(got.out, want), "%q completes to %q", line, got.out)
	}
}
