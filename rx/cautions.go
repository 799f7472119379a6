package rx

// Cautions returns the reminders that belong beside a prescription of a on f,
// in plain words. They are prompts, never advice: each defers to the label, to
// local code and to licensed practice.
//
// Source: handling of ammonia and the general reminders are those of state
// extension services (Iowa State, Minnesota, North Dakota State AE1149) and of
// 29 CFR 1910.111 for the fill limit and the water at hand.
func Cautions(f Field, a Application) []string {
	out := []string{
		"Rates: these follow from the rates, limits and units you gave and are not a recommendation. The product label, your nutrient management plan, and state and local rules set what may be applied, when and by whom; check the product's own analysis and density before you load.",
	}
	if a.Source.Ammonia {
		out = append(out,
			"Anhydrous ammonia: it is stored under pressure, seeks the water in eyes, skin and airways, and burns them. Only trained and, where the law asks for it, licensed people may handle it, with unvented goggles, lined gloves and at least 5 gallons of clean water at hand; if exposed, flush with water for at least 15 minutes and get medical help. Stay upwind. The equipment maker's manual, the supplier's safety sheet and state law decide.",
			"Anhydrous ammonia: tanks are filled to 85 % of their volume at most, and the slot must seal behind the knife; dry, cloddy or wet soil lets gas escape.",
		)
	}
	if !f.OffLimits.IsEmpty() {
		out = append(out,
			"Setbacks and cut-outs: the distances are the ones you gave. Labels, state rules and local code may ask for more around wells, inlets, sinkholes, streams, homes and property lines, and some depend on the method of placement. The controller's zero rate is no substitute for the operator shutting off.",
		)
	} else {
		out = append(out,
			"Setbacks: this field has none in the job. Labels, state rules and local code may ask for distances from wells, inlets, sinkholes, streams and homes; add them under setbacks where they apply.",
		)
	}
	return out
}
