package document_test

import (
	"fmt"
	"strings"

	"example.com/lugbook/service/document"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/wording"
)

func ExampleCurvePicture_SVG() {
	picture := document.CurvePicture{
		Fuses: []document.CurveOf{{Fuse: electrical.FuseOf(electrical.Maxi, 60)}},
		Marks: []document.Mark{{Current: 120, Label: "stalled pump"}},
	}
	svg, err := picture.SVG(wording.For("en", wording.US))
	if err != nil {
		fmt.Println(err)
		return
	}
	for line := range strings.Lines(string(svg)) {
		if _, text, ok := strings.Cut(strings.TrimSuffix(line, "</text>\n"), `font-size:10px">`); ok && strings.Contains(text, " ") {
			fmt.Println(text)
		}
	}
	// Output:
	// 0.01 s
	// 0.1 s
	// 1 s
	// 10 s
	// 1 min
	// 10 min
	// 1 h
	// 10 h
	// Current (A)
	// How long it flows (s, min, h)
	// 60 A maxi blade fuse
	// 120 A
	// stalled pump
	// opens after 2 s to 1 min
}
