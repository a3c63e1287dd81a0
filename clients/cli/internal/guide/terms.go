package guide

import (
	"context"
	"errors"
	"strconv"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/clients/cli/internal/prompt"
	"example.com/lugbook/clients/jobfile"
)

// askTerms asks whether anything differs from the usual, and then what.
func (g *Guide) askTerms(ctx context.Context, d *draft, first bool) error {
	answer := usual
	for {
		err := g.Asker.Ask(ctx, prompt.Screen{Title: "Layout and discount", First: first, Fields: []prompt.Field{{
			Label: "On the usual terms?", Value: &answer, Choices: []prompt.Choice{
				{Value: usual, Label: "Yes: the cheapest proper layout, no discount"},
				{Value: no, Label: "No: choose layout, room for later, discount"},
			},
		}}})
		if err != nil {
			return err
		}
		if answer == usual {
			d.job.System.Layout, d.job.System.GrowthPercent, d.job.Terms = 0, 0, d.withoutDiscount()
			return nil
		}
		if err := g.askOptions(ctx, d); !errors.Is(err, prompt.ErrBack) {
			return err
		}
	}
}

// withoutDiscount gives the terms of a job that has no discount.
func (d *draft) withoutDiscount() *lugbookv1.JobTerms {
	if !d.job.GetTerms().GetTaxExempt() {
		return nil
	}
	return &lugbookv1.JobTerms{TaxExempt: true}
}

// askOptions asks for layout, room and discount.
func (g *Guide) askOptions(ctx context.Context, d *draft) error {
	system := d.job.GetSystem()
	layout := jobfile.Word(system.GetLayout().Descriptor(), system.GetLayout().Number())
	growth, discount, reason := percentText(system.GetGrowthPercent()), percentText(d.job.GetTerms().GetDiscountPercent()), d.job.GetTerms().GetDiscountReason()
	err := g.Asker.Ask(ctx, prompt.Screen{Title: "Layout and discount", Fields: []prompt.Field{
		{Label: "How is it to be fed?", Value: &layout, Choices: []prompt.Choice{
			{Value: "auto", Label: "whatever proper layout costs least"},
			{Value: "single", Label: "each piece on a circuit of its own"},
			{Value: "trunk", Label: "pieces of a zone share a trunk to a fused block"},
		}},
		{Label: "Room for later additions", Help: "In percent of the load of shared runs: 20. Enter alone: none.", Value: &growth, Check: checkPercent},
		{Label: "Discount", Help: "In percent, before tax: 5. Enter alone: none.", Value: &discount, Check: checkPercent},
	}})
	if err != nil {
		return err
	}
	if discount != "" {
		err := g.Asker.Ask(ctx, prompt.Screen{Title: "Discount of " + strings.TrimSuffix(discount, "%") + " %", Fields: []prompt.Field{
			{Label: "Why is it given?", Help: "It stays with the quote.", Value: &reason, Check: func(text string) error {
				if strings.TrimSpace(text) == "" {
					return errors.New("a discount needs a reason")
				}
				return nil
			}},
		}})
		if err != nil {
			return err
		}
	}
	return d.setOptions(layout, growth, discount, reason)
}

// setOptions keeps the answers about layout and discount.
func (d *draft) setOptions(layout, growth, discount, reason string) error {
	number, err := jobfile.ParseWord(d.job.GetSystem().GetLayout().Descriptor(), layout)
	if err != nil {
		return err
	}
	d.job.System.Layout = lugbookv1.LayoutChoice(number)
	if d.job.System.GrowthPercent, err = parsePercent(growth); err != nil {
		return err
	}
	d.job.Terms = d.withoutDiscount()
	percent, err := parsePercent(discount)
	if err != nil || percent == 0 {
		return err
	}
	if d.job.Terms == nil {
		d.job.Terms = &lugbookv1.JobTerms{}
	}
	d.job.Terms.DiscountPercent, d.job.Terms.DiscountReason = &percent, strings.TrimSpace(reason)
	return nil
}

// checkPercent says what is wrong with a percentage; none given is right.
func checkPercent(text string) error {
	_, err := parsePercent(text)
	return err
}

// parsePercent reads a percentage, 0 where none is given.
func parsePercent(text string) (float64, error) {
	if strings.TrimSpace(text) == "" {
		return 0, nil
	}
	return quantity.ParseBare(quantity.Share, text)
}

// percentText gives a percentage as it is typed, nothing for 0.
func percentText(v float64) string {
	if v == 0 {
		return ""
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}
