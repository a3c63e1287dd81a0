package cli

import (
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"github.com/spf13/cobra"
)

// customerFlags is a customer in flags.
type customerFlags struct {
	name, phone, email, address, reference string
}

// add adds the flags to a command.
func (f *customerFlags) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.StringVar(&f.name, "customer-name", "", "for whom the quote is")
	flags.StringVar(&f.phone, "customer-phone", "", "the customer's telephone number")
	flags.StringVar(&f.email, "customer-email", "", "the customer's e-mail address")
	flags.StringVar(&f.address, "customer-address", "", "the customer's postal address")
	flags.StringVar(&f.reference, "customer-reference", "", "the customer's own reference, or a word to find the quote by")
}

// given tells that a flag says something of the customer.
func (f *customerFlags) given() bool { return *f != customerFlags{} }

// set sets what the flags say of a job's customer; the rest stays as it is.
func (f *customerFlags) set(job *lugbookv1.Job) {
	if !f.given() {
		return
	}
	if job.Customer == nil {
		job.Customer = &lugbookv1.Customer{}
	}
	c := job.GetCustomer()
	for _, field := range []struct {
		into  *string
		value string
	}{{&c.Name, f.name}, {&c.Phone, f.phone}, {&c.Email, f.email}, {&c.Address, f.address}, {&c.Reference, f.reference}} {
		if field.value != "" {
			*field.into = field.value
		}
	}
}

// place says where a field was written: in a flag for the customer where one was
// given, else as otherwise says. The prefix is the path of the job in the request.
func (f *customerFlags) place(prefix string, otherwise func(string) string) func(string) string {
	given := map[string]string{"name": f.name, "phone": f.phone, "email": f.email, "address": f.address, "reference": f.reference}
	return func(path string) string {
		if field, ok := strings.CutPrefix(path, prefix+".customer."); ok && given[field] != "" {
			return "--customer-" + field
		}
		return otherwise(path)
	}
}
