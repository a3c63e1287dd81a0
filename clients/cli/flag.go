package cli

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/clients/jobfile"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"google.golang.org/protobuf/reflect/protoreflect"
)

// quantityFlag takes a quantity with its unit into the base unit of its
// dimension.
type quantityFlag struct {
	dimension quantity.Dimension
	bare      bool // the flag's name leaves no doubt of the unit, so a number will do
	value     *float64
}

// Set reads the value; pflag calls it.
func (f *quantityFlag) Set(text string) error {
	parse := quantity.Parse
	if f.bare {
		parse = quantity.ParseBare
	}
	v, err := parse(f.dimension, text)
	if err != nil {
		return err
	}
	f.value = &v
	return nil
}

// String gives the default for the help text: none.
func (f *quantityFlag) String() string { return "" }

// Type names the value in the help text.
func (f *quantityFlag) Type() string { return strings.ReplaceAll(string(f.dimension), " ", "-") }

// set tells that a value was given.
func (f *quantityFlag) set() bool { return f.value != nil }

// number gives the value, 0 where none was given.
func (f *quantityFlag) number() float64 {
	if f.value == nil {
		return 0
	}
	return *f.value
}

// wordFlag takes a value of an enum of the contract, written short.
type wordFlag struct {
	enum   protoreflect.EnumDescriptor
	number protoreflect.EnumNumber // 0: not given
}

// Set reads the word; pflag calls it.
func (f *wordFlag) Set(text string) error {
	number, err := jobfile.ParseWord(f.enum, text)
	if err != nil {
		return err
	}
	f.number = number
	return nil
}

// String gives the default for the help text: none.
func (f *wordFlag) String() string { return "" }

// Type names the value in the help text.
func (f *wordFlag) Type() string { return "word" }

// addWord adds a flag for an enum, whose words stand in its help and complete it.
func addWord(cmd *cobra.Command, f *wordFlag, name, usage string) {
	words := jobfile.Words(f.enum)
	cmd.Flags().Var(f, name, usage+": "+strings.Join(words, ", "))
	completeWords(cmd, name, words...)
}

// completeWords lets the shell complete a flag's value.
func completeWords(cmd *cobra.Command, name string, words ...string) {
	// It fails only for a flag that does not exist, and a test runs them all.
	if err := cmd.RegisterFlagCompletionFunc(name, cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp)); err != nil {
		panic(err)
	}
}

// flagFault turns an error of the flag parser into ours: one line that begins
// with the flag.
func flagFault(cmd *cobra.Command, err error) error {
	hint := fmt.Sprintf("%q explains the flags", cmd.CommandPath()+" --help")
	var (
		value   *pflag.InvalidValueError
		unknown *pflag.NotExistError
	)
	switch {
	case errors.As(err, &value):
		return misuse(hint, "--%s: %w", value.GetFlag().Name, valueFault(value))
	case errors.As(err, &unknown):
		if near := nearestFlag(cmd, unknown.GetSpecifiedName()); near != "" {
			hint = fmt.Sprintf("did you mean --%s?", near)
		}
	}
	return misuse(hint, "%w", err)
}

// valueFault words what is wrong with a flag's value. Ours say it themselves;
// numbers and truth values are read by the flag parser in the words of Go.
func valueFault(err *pflag.InvalidValueError) error {
	var number *strconv.NumError
	switch {
	case !errors.As(err, &number):
		return errors.Unwrap(err)
	case err.GetFlag().Value.Type() == "bool":
		return fmt.Errorf("%q is not true or false", err.GetValue())
	}
	return fmt.Errorf("%q is not a whole number from -2147483648 to 2147483647", err.GetValue())
}

// nearestFlag gives the flag that begins as the unknown one does, or whose name
// is the beginning of it, where there is exactly one; else the one that it is a
// slip of.
func nearestFlag(cmd *cobra.Command, name string) string {
	var near, all []string
	cmd.Flags().VisitAll(func(f *pflag.Flag) {
		all = append(all, f.Name)
		if name != "" && (strings.HasPrefix(f.Name, name) || strings.HasPrefix(name, f.Name)) {
			near = append(near, f.Name)
		}
	})
	if len(near) == 1 {
		return near[0]
	}
	return jobfile.Nearest(name, all)
}
