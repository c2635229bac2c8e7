package measure

import (
	"errors"
	"fmt"
	"math/big"
	"regexp"
	"strconv"
	"strings"
)

// Quantity is a kind of measure: the units that people write it in, each with
// its exact factor to the SI unit that the program computes in.
type Quantity struct {
	Name  string // as in "is not a length"
	try   string // proposed for a bare number, with N for it
	units []unit
}

type unit struct {
	names  string // spellings, space-separated; the first one is shown
	factor *big.Rat
	offset *big.Rat // degrees C of its zero, temperature only
}

// The quantities that a job file holds, in the SI unit inside: metres, ohms,
// amperes, volts, degrees C, shares of one, ampere-hours, Capacitance, and what a
// length costs or holds for each metre.
var (
	Length = &Quantity{"length", "N ft or N m", []unit{
		{"ft feet foot '", decimal(Foot), nil}, {`in inch inches "`, decimal(Inch), nil}, {"yd yard yards", decimal(3 * Foot), nil},
		{"m metre metres meter meters", decimal(1), nil}, {"mm millimetre millimetres millimeter millimeters", decimal(1e-3), nil},
		{"cm centimetre centimetres centimeter centimeters", decimal(1e-2), nil}, {"km", decimal(1e3), nil},
	}}
	Small = &Quantity{"length", "N in or N mm", Length.units}

	Resistance = &Quantity{"resistance", "N ohm", []unit{
		{"ohm ohms Ohm Ohms Ω \u2126", decimal(1), nil}, {"kohm kΩ", decimal(1e3), nil}, {"mohm milliohm mΩ", decimal(1e-3), nil}}}
	Current = &Quantity{"current", "N A or N mA", []unit{
		{"A amp amps ampere amperes", decimal(1), nil}, {"mA", decimal(1e-3), nil}, {"uA µA μA", decimal(1e-6), nil}}}
	Voltage = &Quantity{"voltage", "N V", []unit{
		{"V volt volts Vdc VDC", decimal(1), nil}, {"mV", decimal(1e-3), nil}}}
	Temperature = &Quantity{"temperature", "N C or N F", []unit{
		{"C °C", decimal(1), new(big.Rat)}, {"F °F", big.NewRat(5, 9), big.NewRat(-160, 9)}}}
	Percent     = &Quantity{"percentage", "N%", []unit{{"% percent", decimal(1e-2), nil}}}
	Charge      = &Quantity{"battery capacity", "N Ah", []unit{{"Ah", decimal(1), nil}}}
	Capacitance = &Quantity{"capacitance", "N uF", []unit{
		{"uF µF μF", decimal(1e-6), nil}, {"nF", decimal(1e-9), nil}, {"pF", decimal(1e-12), nil}}}
	PricePerLength       = &Quantity{"price for a length", "N / ft or N / m", nil}
	HoursPerLength       = &Quantity{"number of hours for a length", "N / 100 ft or N / 100 m", nil}
	CapacitancePerLength = &Quantity{"capacitance of a length", "N pF / ft or N pF / m", nil}
)

// simpleKinds are told apart where a number carries the unit of another.
var simpleKinds = []*Quantity{Length, Resistance, Current, Voltage, Temperature, Percent, Charge, Capacitance}

// numeral is what a quantity starts with: a decimal, or inches as people write
// them, 3/32 or 6 1/2. The exponent is kept short so that nothing explodes.
const numeral = `[-+]?(?:\d+[ -]\d+/\d+|\d+/\d+|(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d{1,2})?)`

var (
	simple    = regexp.MustCompile(`^(` + numeral + `)\s*(\D.*)?$`)
	feetInch  = regexp.MustCompile(`^([-+]?)(\d+(?:\.\d+)?)\s*(?:'|ft|feet|foot)\s*-?\s*(\d+[ -]\d+/\d+|\d+/\d+|\d+(?:\.\d+)?)\s*(?:"|in|inch|inches)$`)
	footAlone = regexp.MustCompile(`^(?:'|ft|feet|foot)\s*-?\s*(\d+(?:\.\d+)?)$`)
	ratio     = regexp.MustCompile(`^(.*?)\s*(?:/|\bper\b)\s*(` + numeral + `)?\s*([^\d\s/]+)$`)
	primes    = strings.NewReplacer("’", "'", "′", "'", "”", `"`, "″", `"`, "“", `"`)
)

// Parse reads a quantity such as 11 ft, 10' 6", 50 ohm or 20% and returns it in
// the program's unit, correctly rounded; an error says what to write instead.
func (q *Quantity) Parse(text string) (float64, error) {
	r, err := q.exact(primes.Replace(strings.TrimSpace(text)))
	if err != nil {
		return 0, err
	}
	f, _ := r.Float64()
	return f, nil
}

func (q *Quantity) exact(s string) (*big.Rat, error) {
	if q == PricePerLength || q == HoursPerLength || q == CapacitancePerLength {
		return q.ratio(s)
	}
	if m := feetInch.FindStringSubmatch(s); m != nil && (q == Length || q == Small) {
		inches, err := Rational(m[3])
		if err != nil {
			return nil, err
		}
		if inches.Cmp(big.NewRat(12, 1)) >= 0 {
			return nil, fmt.Errorf("%q has %s inches: 12 in are a foot", s, m[3])
		}
		feet, err := Rational(m[2])
		if err != nil {
			return nil, err
		}
		total := inches.Mul(inches, decimal(Inch))
		total.Add(total, feet.Mul(feet, decimal(Foot)))
		if m[1] == "-" {
			total.Neg(total)
		}
		return total, nil
	}
	m := simple.FindStringSubmatch(s)
	if m == nil {
		return nil, q.unread(s)
	}
	v, err := Rational(m[1])
	if err != nil {
		return nil, err
	}
	u, err := q.unit(s, m[1], strings.TrimSpace(m[2]))
	if err != nil {
		return nil, err
	}
	v.Mul(v, u.factor)
	if u.offset != nil {
		v.Add(v, u.offset)
	}
	return v, nil
}

// ratio reads 0.42 / ft, 420 / 1000 ft or 56 pF/ft.
func (q *Quantity) ratio(s string) (*big.Rat, error) {
	m := ratio.FindStringSubmatch(s)
	if m == nil {
		if simple.MatchString(s) && simple.FindStringSubmatch(s)[2] == "" {
			return nil, q.bare(s)
		}
		return nil, q.unread(s)
	}
	var top *big.Rat
	var err error
	if q == CapacitancePerLength {
		top, err = Capacitance.exact(m[1])
	} else if top, err = Rational(m[1]); err != nil && q == HoursPerLength {
		err = fmt.Errorf("%q is not a number: write the hours alone, as in 1.2 / 100 ft", m[1])
	} else if err != nil {
		err = fmt.Errorf("%q is not a number: write the price alone, as in 0.42 / ft; its currency goes under the key currency", m[1])
	}
	if err != nil {
		return nil, err
	}
	below := big.NewRat(1, 1)
	if m[2] != "" {
		if below, err = Rational(m[2]); err != nil {
			return nil, err
		}
	}
	u, ok := Length.find(m[3])
	if !ok {
		return nil, q.unread(s)
	}
	below.Mul(below, u.factor)
	if below.Sign() <= 0 {
		return nil, fmt.Errorf("%q divides by nothing", s)
	}
	return top.Quo(top, below), nil
}

// unit finds the unit by its spelling, or says what to write instead.
func (q *Quantity) unit(text, num, name string) (unit, error) {
	if name == "" {
		return unit{}, q.bare(num)
	}
	if u, ok := q.find(name); ok {
		return u, nil
	}
	if strings.HasPrefix(name, ",") || strings.HasPrefix(name, "_") {
		return unit{}, fmt.Errorf("%q is not a plain number: write it without separators of thousands, and with a point for the decimals", text)
	}
	if half := footAlone.FindStringSubmatch(name); half != nil && (q == Length || q == Small) {
		return unit{}, fmt.Errorf("%q: the inches lack their mark: write %s' %s\"", text, num, half[1])
	}
	for _, o := range simpleKinds {
		if _, ok := o.find(name); ok && o.Name != q.Name {
			return unit{}, fmt.Errorf("%q is a %s, not a %s: write %s", text, o.Name, q.Name, q.propose(num))
		}
	}
	return unit{}, fmt.Errorf("%q: %q is not a unit of %s: want %s", text, name, q.Name, strings.Join(q.shown(), ", "))
}

func (q *Quantity) find(name string) (unit, bool) {
	for _, u := range q.units {
		for _, n := range strings.Fields(u.names) {
			if n == name {
				return u, true
			}
		}
	}
	return unit{}, false
}

// shown lists the units by the spelling that reports use.
func (q *Quantity) shown() []string {
	var out []string
	for _, u := range q.units {
		out = append(out, strings.Fields(u.names)[0])
	}
	return out
}

func (q *Quantity) propose(num string) string { return strings.ReplaceAll(q.try, "N", num) }

func (q *Quantity) bare(num string) error {
	if v, err := Rational(num); q == Percent && err == nil && v.Sign() > 0 && v.Cmp(big.NewRat(1, 1)) < 0 {
		f, _ := v.Mul(v, big.NewRat(100, 1)).Float64()
		return fmt.Errorf("%s has no unit: write %g%%, or %s%% if that is meant", num, f, num)
	}
	return fmt.Errorf("%s has no unit: write %s", num, q.propose(num))
}

func (q *Quantity) unread(s string) error {
	return fmt.Errorf("%q is not a %s: write for example %s", s, q.Name, q.propose("10"))
}

var errLeadingZero = errors.New("some programs read a number with a leading zero as octal")

// Rational reads a number exactly: decimal, fraction or whole and fraction.
func Rational(s string) (*big.Rat, error) {
	neg := strings.HasPrefix(s, "-")
	s = strings.TrimLeft(s, "+-")
	if len(s) > 40 {
		return nil, fmt.Errorf("%q has too many digits", s)
	}
	if len(s) > 1 && s[0] == '0' && s[1] >= '0' && s[1] <= '9' {
		plain := strings.TrimLeft(s[:len(s)-1], "0") + s[len(s)-1:]
		if plain[0] == '.' {
			plain = "0" + plain
		}
		return nil, fmt.Errorf("%s: %w: write %s, or quote it if it is a name", s, errLeadingZero, plain)
	}
	whole, frac, mixed := strings.Cut(strings.ReplaceAll(s, "-", " "), " ")
	if strings.ContainsAny(s, "eE") {
		whole, mixed = s, false // the minus belongs to the exponent
	}
	v, ok := new(big.Rat).SetString(whole)
	if ok && mixed {
		var f *big.Rat
		if f, ok = new(big.Rat).SetString(frac); ok {
			v.Add(v, f)
		}
	}
	if !ok {
		return nil, fmt.Errorf("%q is not a number", s)
	}
	if neg {
		v.Neg(v)
	}
	return v, nil
}

// decimal is a factor as the decimal that it is written as, exactly.
func decimal(v float64) *big.Rat {
	r, _ := new(big.Rat).SetString(strconv.FormatFloat(v, 'f', -1, 64))
	return r
}

// Show writes a value in the unit that stands first for its quantity.
func (q *Quantity) Show(v float64) string {
	scale, unit := 1.0, ""
	switch q {
	case Length, Small:
		unit = " m"
	case Percent:
		scale, unit = 100, "%"
	case PricePerLength, HoursPerLength:
		unit = " / m"
	case CapacitancePerLength:
		scale, unit = 1e6, " uF / m"
	case Capacitance:
		scale, unit = 1e6, " uF"
	default:
		unit = " " + q.shown()[0]
	}
	return strconv.FormatFloat(v*scale, 'f', -1, 64) + unit
}
