// Package document renders what the domain returned into what a person takes
// away. So far that is the curve picture: at which current which fuse opens how
// soon.
//
// It stands above service/electrical, whose figures it draws, and
// service/wording, which says every word on it; it knows neither the contract
// nor the handlers. It decides nothing: every figure in a document is one that
// the domain gave. The same input gives the same bytes.
//
//	picture := document.CurvePicture{
//		Fuses: []document.CurveOf{{Fuse: electrical.FuseOf(electrical.BoltSmall, 100)}},
//		Marks: []document.Mark{{Current: 80, Label: "running load"}},
//	}
//	svg, err := picture.SVG(wording.For("en", wording.US))
package document
