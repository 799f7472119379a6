package unit

// ProductPrice is what a product costs, by mass or by volume. The zero value is no
// price.
type ProductPrice struct{ perKg, perLitre float64 }

// ParseProductPrice reads a price of product such as "320 $/ton", "0.30 $/lb" or
// "1.10 $/gal"; it must be above zero. Tons are short ones.
func ParseProductPrice(s string) (ProductPrice, error) {
	mass, err := price(productMassPrices, s)
	if err == nil {
		return ProductPrice{perKg: mass}, nil
	}
	if volume, volumeErr := price(productVolumePrices, s); volumeErr == nil {
		return ProductPrice{perLitre: volume}, nil
	}
	return ProductPrice{}, err
}

// PerKg is the price of a kg of product, and false where it is by volume and no density
// is known.
func (p ProductPrice) PerKg(d Density, known bool) (float64, bool) {
	if p.perLitre == 0 {
		return p.perKg, p.perKg > 0
	}
	if !known || !(d.KgPerLitre() > 0) {
		return 0, false
	}
	return p.perLitre / d.KgPerLitre(), true
}

var (
	productMassPrices = &kind{noun: "a price of product", example: "320 $/ton", closed: true, over: [2]*kind{money, masses}, units: []entry{
		{"$/ton", 1 / (2000 * pound), nil},
		{"$/lb", 1 / pound, nil},
		{"$/kg", 1, nil},
		{"$/t", 0.001, nil},
	}}
	productVolumePrices = &kind{noun: "a price of product", example: "1.10 $/gal", closed: true, over: [2]*kind{money, volumes}, units: []entry{
		{"$/gal", 1 / gallon, nil},
		{"$/L", 1, nil},
	}}
)
