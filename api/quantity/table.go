package quantity

// The table of units: one row per unit, the base unit of each dimension first.
// A spelling is listed with every space that people put inside it, so that
// "5 m m" stays an error.

var currentUnits = []unit{
	{print: "A", mul: 1, div: 1, suffixes: []string{"a"},
		spelling: []string{"amp", "amps", "ampere", "amperes"}},
	{print: "mA", mul: 1, div: 1000, milli: true,
		spelling: []string{"milliamp", "milliamps", "milliampere", "milliamperes"}},
	{print: "kA", mul: 1000, div: 1, // interrupting ratings
		spelling: []string{"kiloamp", "kiloamps", "kiloampere", "kiloamperes"}},
}

var voltageUnits = []unit{
	{print: "V", mul: 1, div: 1, suffixes: []string{"v", "volts"},
		spelling: []string{"volt", "volts", "vdc", "v dc", "volts dc"}},
	{print: "mV", mul: 1, div: 1000, milli: true,
		spelling: []string{"millivolt", "millivolts"}},
}

var resistanceUnits = []unit{
	{print: "Ω", mul: 1, div: 1, suffixes: []string{"ohm"},
		spelling: []string{"ohm", "ohms"}},
	{print: "mΩ", mul: 1, div: 1000, milli: true, suffixes: []string{"mohm"},
		spelling: []string{"mohm", "mohms", "m ohm", "m ohms", "milliohm", "milliohms", "milli-ohm", "milli-ohms"}},
}

// A root-mean-square rating of audio power is a power in watt; peak and "max"
// ratings are something else and stay unknown.
var powerUnits = []unit{
	{print: "W", mul: 1, div: 1, suffixes: []string{"w"},
		spelling: []string{"watt", "watts", "w rms", "wrms", "watt rms", "watts rms", "rms watts"}},
	{print: "kW", mul: 1000, div: 1,
		spelling: []string{"kilowatt", "kilowatts", "kwatt", "kwatts", "k w", "k watt", "k watts", "kw rms", "k watts rms"}},
	{print: "mW", mul: 1, div: 1000, milli: true,
		spelling: []string{"milliwatt", "milliwatts"}},
}

var lengthUnits = []unit{
	{print: "m", mul: 1, div: 1, suffixes: []string{"m"},
		spelling: []string{"metre", "metres", "meter", "meters", "mtr", "mtrs"}},
	{print: "cm", mul: 1, div: 100,
		spelling: []string{"centimetre", "centimetres", "centimeter", "centimeters"}},
	{print: "mm", mul: 1, div: 1000, suffixes: []string{"mm"},
		spelling: []string{"millimetre", "millimetres", "millimeter", "millimeters"}},
	{print: "ft", mul: 3048, div: 10000, chain: true,
		spelling: []string{"foot", "feet", "'", "’", "′"}},
	{print: "in", mul: 254, div: 10000, chain: true,
		spelling: []string{"inch", "inches", `"`, "”", "″", "''", "’’", "′′"}},
}

var areaUnits = []unit{
	{print: "mm²", mul: 1, div: 1, suffixes: []string{"mm2"},
		spelling: []string{"mm2", "mm^2", "sq mm", "sqmm", "sq. mm", "mm sq", "square mm",
			"square millimetre", "square millimetres", "square millimeter", "square millimeters"}},
}

var temperatureUnits = []unit{
	{print: "°C", mul: 1, div: 1, suffixes: []string{"c"},
		spelling: []string{"c", "° c", "ºc", "℃", "deg c", "degc", "degree c", "degrees c",
			"celsius", "deg celsius", "degree celsius", "degrees celsius", "centigrade", "degrees centigrade"}},
	{print: "°F", mul: 5, div: 9, shift: -32,
		spelling: []string{"f", "° f", "ºf", "℉", "deg f", "degf", "degree f", "degrees f",
			"fahrenheit", "deg fahrenheit", "degree fahrenheit", "degrees fahrenheit"}},
	{print: "K", mul: 1, div: 1, shift: -273.15,
		spelling: []string{"kelvin"}},
}

// A pull force in pounds is always pounds-force.
var forceUnits = []unit{
	{print: "N", mul: 1, div: 1, suffixes: []string{"n"},
		spelling: []string{"newton", "newtons"}},
	{print: "kN", mul: 1000, div: 1,
		spelling: []string{"kilonewton", "kilonewtons"}},
	{print: "lbf", mul: float64(PoundForce), div: 1,
		spelling: []string{"lb", "lbs", "pound", "pounds", "pound-force", "pounds-force", "pounds force"}},
}

var chargeUnits = []unit{
	{print: "Ah", mul: 1, div: 1, suffixes: []string{"ah"},
		spelling: []string{"a h", "a·h", "amp hour", "amp hours", "amp-hour", "amp-hours", "amphour", "amphours",
			"ampere hour", "ampere hours", "ampere-hour", "ampere-hours"}},
	{print: "mAh", mul: 1, div: 1000, milli: true,
		spelling: []string{"milliamp hours", "milliamp-hours", "milliampere hours"}},
}

var shareUnits = []unit{
	{print: "%", mul: 1, div: 1, suffixes: []string{"percent"},
		spelling: []string{"percent", "per cent", "pct"}},
}

// m is a minute here, as time.Duration prints it; no length is a time.
var timeUnits = []unit{
	{print: "s", mul: 1, div: 1, chain: true, suffixes: []string{"s", "seconds"},
		spelling: []string{"sec", "secs", "second", "seconds"}},
	{print: "ms", mul: 1, div: 1000, milli: true,
		spelling: []string{"msec", "millisecond", "milliseconds"}},
	{print: "min", mul: 60, div: 1, chain: true,
		spelling: []string{"m", "mins", "minute", "minutes"}},
	{print: "h", mul: 3600, div: 1, chain: true, suffixes: []string{"hours"},
		spelling: []string{"hr", "hrs", "hour", "hours"}},
}
