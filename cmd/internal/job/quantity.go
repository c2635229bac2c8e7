package job

import (
	"errors"
	"fmt"
	"math/big"
	"regexp"
	"strconv"
	"strings"
)

// dimension is what a quantity measures: the units that people write, each
// with the exact factor to the SI unit the program computes in.
//
// Foot and inch are those of the international yard and pound agreement of
// 1959: 1 yd = 0.9144 m, so 1 ft = 0.3048 m and 1 in = 25.4 mm.
type dimension struct {
	name  string // as in "is not a length"
	try   string // proposed for a bare number, with N for it
	units []unit
}

type unit struct {
	names  string // spellings, space-separated; the first one is shown
	factor string // exact decimal: SI units per unit
	offset string // degrees C of its zero, temperature only
}

var (
	length = &dimension{"length", "N ft or N m", []unit{
		{"ft feet foot '", "0.3048", ""}, {`in inch inches "`, "0.0254", ""}, {"yd yard yards", "0.9144", ""},
		{"m metre metres meter meters", "1", ""}, {"mm millimetre millimetres millimeter millimeters", "0.001", ""},
		{"cm centimetre centimetres centimeter centimeters", "0.01", ""}, {"km", "1000", ""},
	}}
	small = &dimension{"length", "N in or N mm", length.units}

	resistance = &dimension{"resistance", "N ohm", []unit{
		{"ohm ohms Ohm Ohms Ω \u2126", "1", ""}, {"kohm kΩ", "1000", ""}, {"mohm milliohm mΩ", "0.001", ""}}}
	current = &dimension{"current", "N A or N mA", []unit{
		{"A amp amps ampere amperes", "1", ""}, {"mA", "0.001", ""}, {"uA µA μA", "0.000001", ""}}}
	voltage = &dimension{"voltage", "N V", []unit{
		{"V volt volts Vdc VDC", "1", ""}, {"mV", "0.001", ""}}}
	temperature = &dimension{"temperature", "N C or N F", []unit{
		{"C °C", "1", "0"}, {"F °F", "5/9", "-160/9"}}}
	percent = &dimension{"percentage", "N%", []unit{{"% percent", "0.01", ""}}}
	charge  = &dimension{"battery capacity", "N Ah", []unit{{"Ah", "1", ""}}}
	farads  = &dimension{"capacitance", "N uF", []unit{
		{"uF µF μF", "0.000001", ""}, {"nF", "0.000000001", ""}, {"pF", "0.000000000001", ""}}}
	perLength    = &dimension{"price for a length", "N / ft or N / m", nil}
	hoursLength  = &dimension{"number of hours for a length", "N / 100 ft or N / 100 m", nil}
	faradsLength = &dimension{"capacitance of a length", "N pF / ft or N pF / m", nil}
)

var dimensions = []*dimension{length, resistance, current, voltage, temperature, percent, charge, farads}

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

// si reads a quantity such as 11 ft, 10' 6", 50 ohm or 20% and returns it in
// the program's unit, correctly rounded.
func (d *dimension) si(text string) (float64, error) {
	r, err := d.exact(primes.Replace(strings.TrimSpace(text)))
	if err != nil {
		return 0, err
	}
	f, _ := r.Float64()
	return f, nil
}

func (d *dimension) exact(s string) (*big.Rat, error) {
	if d == perLength || d == hoursLength || d == faradsLength {
		return d.ratio(s)
	}
	if m := feetInch.FindStringSubmatch(s); m != nil && d.units[0] == length.units[0] {
		inches, err := rational(m[3])
		if err != nil {
			return nil, err
		}
		if inches.Cmp(big.NewRat(12, 1)) >= 0 {
			return nil, fmt.Errorf("%q has %s inches: 12 in are a foot", s, m[3])
		}
		feet, err := rational(m[2])
		if err != nil {
			return nil, err
		}
		total := inches.Mul(inches, exactly("0.0254"))
		total.Add(total, feet.Mul(feet, exactly("0.3048")))
		if m[1] == "-" {
			total.Neg(total)
		}
		return total, nil
	}
	m := simple.FindStringSubmatch(s)
	if m == nil {
		return nil, d.unread(s)
	}
	v, err := rational(m[1])
	if err != nil {
		return nil, err
	}
	u, err := d.unit(s, m[1], strings.TrimSpace(m[2]))
	if err != nil {
		return nil, err
	}
	v.Mul(v, exactly(u.factor))
	if u.offset != "" {
		v.Add(v, exactly(u.offset))
	}
	return v, nil
}

// ratio reads 0.42 / ft, 420 / 1000 ft or 56 pF/ft.
func (d *dimension) ratio(s string) (*big.Rat, error) {
	m := ratio.FindStringSubmatch(s)
	if m == nil {
		if simple.MatchString(s) && simple.FindStringSubmatch(s)[2] == "" {
			return nil, d.bare(s)
		}
		return nil, d.unread(s)
	}
	var top *big.Rat
	var err error
	if d == faradsLength {
		top, err = farads.exact(m[1])
	} else if top, err = rational(m[1]); err != nil && d == hoursLength {
		err = fmt.Errorf("%q is not a number: write the hours alone, as in 1.2 / 100 ft", m[1])
	} else if err != nil {
		err = fmt.Errorf("%q is not a number: write the price alone, as in 0.42 / ft; its currency goes under the key currency", m[1])
	}
	if err != nil {
		return nil, err
	}
	below := big.NewRat(1, 1)
	if m[2] != "" {
		if below, err = rational(m[2]); err != nil {
			return nil, err
		}
	}
	u, ok := length.find(m[3])
	if !ok {
		return nil, d.unread(s)
	}
	below.Mul(below, exactly(u.factor))
	if below.Sign() <= 0 {
		return nil, fmt.Errorf("%q divides by nothing", s)
	}
	return top.Quo(top, below), nil
}

// unit finds the unit by its spelling, or says what to write instead.
func (d *dimension) unit(text, num, name string) (unit, error) {
	if name == "" {
		return unit{}, d.bare(num)
	}
	if u, ok := d.find(name); ok {
		return u, nil
	}
	if strings.HasPrefix(name, ",") || strings.HasPrefix(name, "_") {
		return unit{}, fmt.Errorf("%q is not a plain number: write it without separators of thousands, and with a point for the decimals", text)
	}
	if half := footAlone.FindStringSubmatch(name); half != nil && d.units[0] == length.units[0] {
		return unit{}, fmt.Errorf("%q: the inches lack their mark: write %s' %s\"", text, num, half[1])
	}
	for _, o := range dimensions {
		if _, ok := o.find(name); ok && o.name != d.name {
			return unit{}, fmt.Errorf("%q is a %s, not a %s: write %s", text, o.name, d.name, d.propose(num))
		}
	}
	return unit{}, fmt.Errorf("%q: no unit %q for a %s: %s", text, name, d.name, choose(name, d.shown()))
}

func (d *dimension) find(name string) (unit, bool) {
	for _, u := range d.units {
		for _, n := range strings.Fields(u.names) {
			if n == name {
				return u, true
			}
		}
	}
	return unit{}, false
}

// shown lists the units by the spelling that reports use.
func (d *dimension) shown() []string {
	var out []string
	for _, u := range d.units {
		out = append(out, strings.Fields(u.names)[0])
	}
	return out
}

func (d *dimension) propose(num string) string { return strings.ReplaceAll(d.try, "N", num) }

func (d *dimension) bare(num string) error {
	if v, err := rational(num); d == percent && err == nil && v.Sign() > 0 && v.Cmp(big.NewRat(1, 1)) < 0 {
		f, _ := v.Mul(v, big.NewRat(100, 1)).Float64()
		return fmt.Errorf("%s has no unit: write %g%%, or %s%% if that is meant", num, f, num)
	}
	return fmt.Errorf("%s has no unit: write %s", num, d.propose(num))
}

func (d *dimension) unread(s string) error {
	return fmt.Errorf("%q is not a %s: write for example %s", s, d.name, d.propose("10"))
}

var errLeadingZero = errors.New("some programs read a number with a leading zero as octal")

// rational reads a number exactly: decimal, fraction or whole and fraction.
func rational(s string) (*big.Rat, error) {
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

// exactly reads one of the package's own factors.
func exactly(s string) *big.Rat {
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		panic("job: bad factor " + s)
	}
	return r
}

// show writes a bound in the dimension's own unit.
func (d *dimension) show(v float64) string {
	scale, unit := 1.0, ""
	switch d {
	case length, small:
		unit = " m"
	case percent:
		scale, unit = 100, "%"
	case perLength, hoursLength:
		unit = " / m"
	case faradsLength:
		scale, unit = 1e6, " uF / m"
	case farads:
		scale, unit = 1e6, " uF"
	default:
		unit = " " + d.shown()[0]
	}
	return strconv.FormatFloat(v*scale, 'f', -1, 64) + unit
}
