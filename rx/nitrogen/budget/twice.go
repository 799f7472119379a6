package budget

import "fmt"

// Counted is what a rule counts by itself, so that a credit for it would take it off twice.
type Counted struct {
	Rule    string // in words
	Nitrate bool   // nitrate in the soil before planting
	Crop    bool   // the crop before
	Manure  bool   // manure
}

// Twice refuses credits that take one thing off twice: two crops that cannot both have stood
// the year before, a crop twice, and what the rule counts already.
// Source: arithmetic; of a soybean credit on a rotation-specific rate Sawyer, Iowa State Univ.
func Twice(credits []Credit, by Counted) error {
	crop := ""
	for _, c := range credits {
		switch {
		case c.Nitrate && by.Nitrate:
			return fmt.Errorf("the credit %q would be taken off twice: %s counts the nitrate of the soil already; leave one of them out", c.What, by.Rule)
		case c.Manure && by.Manure:
			return fmt.Errorf("the credit %q would be taken off twice: %s counts manure already; leave the credit out", c.What, by.Rule)
		case c.Crop == "":
			continue
		case by.Crop:
			return fmt.Errorf("the credit %q would be taken off twice: %s counts the crop before already; leave the credit out", c.What, by.Rule)
		case crop == c.Crop:
			return fmt.Errorf("%s before corn has two credits and would be taken off twice; leave one of them out", crop)
		case crop != "":
			return fmt.Errorf("there are credits of %s and of %s the year before, and one crop alone stood before corn; leave one of them out", crop, c.Crop)
		}
		crop = c.Crop
	}
	return nil
}
