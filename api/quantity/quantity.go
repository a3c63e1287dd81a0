package quantity

// One type per physical quantity, each a float64 in its base unit, in the
// manner of time.Duration. Multiplying two quantities of the same type
// compiles and is meaningless; products of different quantities are the named
// methods below.

// Amps is an electric current in ampere.
type Amps float64

// Volts is an electric potential difference in volt.
type Volts float64

// Ohms is a resistance in ohm.
type Ohms float64

// Watts is a power in watt.
type Watts float64

// Metres is a length in metre.
type Metres float64

// Millimetres is a length in millimetre, for diameters, strip and cut lengths.
type Millimetres float64

// SquareMillimetres is a conductor's cross-section in mm².
type SquareMillimetres float64

// Celsius is a temperature in degree Celsius.
type Celsius float64

// Newtons is a force in newton.
type Newtons float64

// AmpHours is a battery capacity in ampere hour.
type AmpHours float64

// Percent is a share in percent; 100 is the whole.
type Percent float64

// Milliohm is one thousandth of an ohm.
const Milliohm Ohms = 1e-3

// Through gives the voltage that the current drops over a resistance (Ohm's law).
func (i Amps) Through(r Ohms) Volts { return Volts(float64(i) * float64(r)) }

// At gives the power that the current carries at a voltage.
func (i Amps) At(v Volts) Watts { return Watts(float64(i) * float64(v)) }

// Heating gives the power that the current turns to heat in a resistance.
func (i Amps) Heating(r Ohms) Watts { return Watts(float64(i) * float64(i) * float64(r)) }

// Drawing gives the current that a power draws at a voltage. It is +Inf at 0 V.
func (p Watts) Drawing(v Volts) Amps { return Amps(float64(p) / float64(v)) }

// Of gives the share of a voltage.
func (p Percent) Of(v Volts) Volts { return Volts(float64(p) / 100 * float64(v)) }

// Millivolts gives the voltage in millivolt.
func (v Volts) Millivolts() float64 { return float64(v) * 1e3 }

// Milliohms gives the resistance in milliohm.
func (r Ohms) Milliohms() float64 { return float64(r) * 1e3 }

// Millimetres gives the length in millimetre.
func (l Metres) Millimetres() Millimetres { return Millimetres(l * 1e3) }

// Metres gives the length in metre.
func (l Millimetres) Metres() Metres { return Metres(l / 1e3) }
