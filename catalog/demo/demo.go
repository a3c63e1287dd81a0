// Package demo holds the catalog of an invented shop, embedded: the catalog in
// force until a shop gives its own. The files are the source of truth and read
// like any shop's spreadsheets:
//
//	c, err := catalog.Read(demo.Files())
//
// Names, part numbers, suppliers and prices are invented. Dimensions follow a
// standard where there is one:
//
//   - metric cable over the insulation: ISO 6722 thick wall, from memory. Gauge
//     cable lies between, is heavier from 8 AWG up, and thinner where cross-linked
//     (common practice, no source);
//   - bare strands: 1.13 to 1.15 times the solid wire of ASTM B258 (common practice, no source);
//   - metric tube lugs: DIN 46235; bands of small terminals: DIN 46237; ferrules:
//     DIN 46228; all from memory. Gauge lugs admit the strands with 5 to 15 % play
//     (common practice, no source);
//   - holes: ISO 273 and ASME B18.2.8, medium and normal fit, from memory;
//   - sleeves: AMS-DTL-23053/4 class 3 for 3:1; the 4:1 sizes are from memory;
//   - opening times in curves.csv: invented, and said to be so in every row;
//   - fuse ratings: ISO 8820-3, ISO 8820-5, SAE J1171, UL 248-15 and common practice.
//
// Minutes, allowances and the charging of vehicles are common practice, no source.
package demo

import (
	"embed"
	"io/fs"
)

//go:embed *.csv *.yaml
var files embed.FS

// Files gives the catalog folder of the demo shop, ready for catalog.Read. The
// file system is read-only and safe for concurrent use.
func Files() fs.FS { return files }
