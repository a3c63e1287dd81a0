package design_test

import (
	"testing"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// studMillimetres is the outer diameter of battery studs: metric by definition, US
// sizes in decimal inches.
var studMillimetres = map[catalog.Stud]float64{"M6": 6, "1/4": 0.25 * 25.4, "5/16": 0.3125 * 25.4, "M8": 8, "3/8": 0.375 * 25.4, "M10": 10}

// goesOver tells whether a holder can sit at a battery: one for the post goes over
// its stud, with no more play than a washer covers.
func goesOver(h *catalog.Holder, stud catalog.Stud) bool {
	play := float64(h.PostHole) - studMillimetres[stud]
	return h.PostHole == 0 || play > 0 && play < 1.7
}

// TestPostFuseFitsThePost: in a shop that keeps only fuses for the post, the block is
// the one that goes over the battery's stud; where none does, the job cannot be met.
func TestPostFuseFitsThePost(t *testing.T) {
	cat := demoShop(t)
	habit := cat.Shop.Habits[electrical.Van]
	habit.Families = []electrical.Family{electrical.TerminalMount}
	cat.Shop.Habits[electrical.Van] = habit
	designer := design.New(cat)
	for stud, want := range map[catalog.Stud]string{"": "HD-TMT-M8", "5/16": "HD-TMT-M8", "M8": "HD-TMT-M8", "3/8": "HD-TMT-M10", "M10": "HD-TMT-M10", "M6": "", "1/4": ""} {
		t.Run("stud "+string(stud), func(t *testing.T) {
			v := van()
			v.Batteries[0].Stud = stud
			got, err := designer.Design(v, oneDevice(draws(electrical.OtherDevice, 60)))
			if want == "" {
				u, ok := unmet(err)
				require.True(t, ok, "%v", err)
				assert.Equal(t, "post_stud", u.Constraint)
				return
			}
			require.NoError(t, err)
			assert.Equal(t, want, got.Circuits[0].Protection.Holder.SKU)
			assumed := false
			for _, r := range got.Assumptions {
				assumed = assumed || r.Rule == "assumed.battery_stud"
			}
			assert.Equal(t, stud == "", assumed, "a stud that nobody stated is said to be assumed")
		})
	}
}
