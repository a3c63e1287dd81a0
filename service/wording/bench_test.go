package wording_test

import (
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/wording"
)

// BenchmarkSay says one of the longer reasons: a quote has about a hundred.
func BenchmarkSay(b *testing.B) {
	teller := wording.For("en", wording.US)
	figures := []electrical.Figure{
		electrical.SizeFigure("conductor", quantity.AWG(8)), electrical.Num("drop_v", 0.316, electrical.UnitV),
		electrical.Num("drop_percent", 2.63, electrical.UnitPercent), electrical.Num("limit_percent", 3, electrical.UnitPercent),
		electrical.Num("length_m", 5.4864, electrical.UnitM),
	}
	b.ReportAllocs()
	for b.Loop() {
		teller.Say("conductor.drop", figures...)
	}
}

// BenchmarkFor is what a request pays for its teller.
func BenchmarkFor(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		wording.For("en-US", wording.US)
	}
}

// BenchmarkRead is what a process pays once for a language.
func BenchmarkRead(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := wording.ReadAll(); err != nil {
			b.Fatal(err)
		}
	}
}
