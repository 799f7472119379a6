package unit

import (
	"fmt"
	"strconv"
	"strings"
)

// Of says what a rate counts.
type Of int

// A rate counts the nitrogen or the product that carries it.
const (
	Nitrogen Of = iota + 1
	Product
)

// ParseOf reads "nitrogen" or "product".
func ParseOf(s string) (Of, error) {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "nitrogen":
		return Nitrogen, nil
	case "product":
		return Product, nil
	}
	return 0, fmt.Errorf("%s says not what the rate counts; write nitrogen or product", quote(s))
}

// String is the word that ParseOf reads.
func (o Of) String() string {
	switch o {
	case Nitrogen:
		return "nitrogen"
	case Product:
		return "product"
	}
	return "unknown"
}

// RateUnit is the unit of an amount per area: lb/ac, kg/ha, gal/ac, L/ha,
// short ton/ac or t/ha. It is comparable; the zero value is no unit at all.
type RateUnit struct {
	name string // as in massRates and volumeRates
}

// The rate units there are.
var (
	PoundsPerAcre    = RateUnit{"lb/ac"}
	KgPerHectare     = RateUnit{"kg/ha"}
	GallonsPerAcre   = RateUnit{"gal/ac"}
	LitresPerHectare = RateUnit{"L/ha"}
	ShortTonsPerAcre = RateUnit{"short ton/ac"}
	TonnesPerHectare = RateUnit{"t/ha"}
)

// ParseRateUnit reads lb/ac, lbs/acre, kg/ha, gal/ac, gpa, L/ha, ton/ac (the US
// short ton), t/ha or the UCUM codes such as [lb_av]/[acr_us] and kg/har. What
// the rate counts is not part of the unit: "lb N/ac" is refused.
func ParseRateUnit(s string) (RateUnit, error) {
	if strings.TrimSpace(s) == "" {
		return RateUnit{}, fmt.Errorf("the unit of the rate is missing; write %s, %s", massRates.names(), volumeRates.names())
	}
	return rateUnit(s)
}

func rateUnit(s string) (RateUnit, error) {
	for _, k := range []*kind{massRates, volumeRates} {
		if e, ok := k.find(s); ok {
			return RateUnit{e.name}, nil
		}
	}
	if above, below, ok := cutPer(s); ok {
		if w := strings.Fields(above); len(w) == 2 && strings.EqualFold(w[1], "N") {
			return RateUnit{}, fmt.Errorf("unit %s mixes in what is counted; write %s/%s and say of: nitrogen", quote(s), w[0], strings.TrimSpace(below))
		}
	}
	return RateUnit{}, unfit(s, massRates, volumeRates)
}

// String is the unit as the trade writes it, such as "gal/ac".
func (u RateUnit) String() string { return u.name }

// IsVolume tells gal/ac and L/ha from the units of mass.
func (u RateUnit) IsVolume() bool {
	_, ok := volumeRates.listed(u.name)
	return ok
}

// PerHa is the factor to kg/ha, or to L/ha where IsVolume; zero for no unit.
func (u RateUnit) PerHa() float64 {
	if e, ok := massRates.listed(u.name); ok {
		return e.factor
	}
	e, _ := volumeRates.listed(u.name)
	return e.factor
}

// Column is the name of a rate map's column: LB_AC, LB_N_AC, GAL_AC, KG_HA,
// KG_N_HA, L_HA, TON_AC, TON_N_AC, T_HA or T_N_HA. A volume is of product
// whatever is asked.
func (u RateUnit) Column(o Of) string {
	amount, area, ok := strings.Cut(strings.TrimPrefix(u.name, "short "), "/")
	if !ok {
		return ""
	}
	if o == Nitrogen && !u.IsVolume() {
		amount += "_N"
	}
	return strings.ToUpper(amount + "_" + area)
}

// Amount is the unit of what a rate puts on an area: gal for gal/ac.
func (u RateUnit) Amount() AmountUnit {
	amount, _, _ := strings.Cut(u.name, "/")
	return AmountUnit{amount}
}

// Rate is an amount per area in the unit it was given in.
type Rate struct {
	Value float64
	Unit  RateUnit
}

// ParseRate reads a rate such as "180 lb/ac"; it may not be negative.
func ParseRate(s string) (Rate, error) {
	v, text, err := split(s, "a rate", massRates.example, massRates.names()+", "+volumeRates.names())
	if err != nil {
		return Rate{}, err
	}
	if v < 0 {
		return Rate{}, fmt.Errorf("%s: a rate cannot be negative", quote(s))
	}
	u, err := rateUnit(text)
	if err != nil {
		return Rate{}, fmt.Errorf("%s: %w", quote(s), err)
	}
	if !finite(v * u.PerHa()) {
		return Rate{}, fmt.Errorf("%s: the number is too large", quote(s))
	}
	return Rate{v, u}, nil
}

// String writes every digit of the value, so that ParseRate gives it back.
func (r Rate) String() string { return exactly(r.Value, r.Unit.name) }

// PerHa is the rate in kg/ha, or in L/ha where its unit is one of volume.
func (r Rate) PerHa() float64 { return r.Value * r.Unit.PerHa() }

// Over is the amount that the rate puts on an area, in the unit of the rate.
func (r Rate) Over(a Area) Amount {
	u := r.Unit.Amount()
	if u.Factor() == 0 {
		return Amount{}
	}
	return Amount{r.PerHa() * a.Hectares() / u.Factor(), u}
}

// decimals are those a table gives a rate: about what a controller can meter.
func (u RateUnit) decimals() int {
	switch u {
	case GallonsPerAcre:
		return 2
	case ShortTonsPerAcre, TonnesPerHectare:
		return 3
	}
	return 1
}

// Number is the value with the decimals of a table; the unit stands in r.Unit.
func (r Rate) Number() string { return fixed(r.Value, r.Unit.decimals()) }

// Text is the rate as a table shows it: "33.91 gal/ac".
func (r Rate) Text() string { return r.Number() + " " + r.Unit.name }

// Amount is a mass or volume in the unit it is reckoned in.
type Amount struct {
	Value float64
	Unit  AmountUnit
}

// Number is the value with the decimals of a table; the unit stands in a.Unit.
func (a Amount) Number() string {
	decimals := 1
	if a.Unit == ShortTonsPerAcre.Amount() || a.Unit == TonnesPerHectare.Amount() {
		decimals = 2
	}
	return fixed(a.Value, decimals)
}

// String is the amount as a table shows it: "4017.0 gal".
func (a Amount) String() string { return a.Number() + " " + a.Unit.String() }

func fixed(v float64, decimals int) string {
	if !finite(v) {
		return notAvailable
	}
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if zero := strconv.FormatFloat(0, 'f', decimals, 64); s == "-"+zero {
		return zero
	}
	return s
}
