package job

import (
	"strings"

	"ratewright/rx/nitrogen/loss"
)

// actives are what inhibitors are sold by, and what they slow down (common practice).
var actives = map[string]loss.Inhibitor{
	"nbpt": loss.Urease, "nppt": loss.Urease,
	"nitrapyrin": loss.Nitrification, "dcd": loss.Nitrification, "dmpp": loss.Nitrification,
	"nbpt+dcd": loss.UreaseAndNitrification, "dcd+nbpt": loss.UreaseAndNitrification,
}

// inhibitor reads what an inhibitor slows down, none where the job says nothing; of an
// active it tells what that is.
func (d decoder) inhibitor(m mapping) string {
	text, _ := m.text("inhibitor")
	if slows, ok := actives[strings.ReplaceAll(strings.ToLower(text), " ", "")]; ok {
		d.add(m.lineOf("inhibitor"), "write inhibitor: "+slows.String(), "%s: inhibitor %s is told by what it slows down", m.name, text)
		return slows.String()
	}
	return m.choice("inhibitor", loss.NoInhibitor.String(), loss.Urease.String(), loss.Nitrification.String(), loss.UreaseAndNitrification.String())
}
