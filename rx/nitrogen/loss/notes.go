package loss

import (
	"ratewright/rx/nitrogen/water"
)

// Ranking is what every output of losses says of them.
const Ranking = "losses are a ranking with bands, not a forecast: the scheme puts published averages together, was never held against an independent set of daily measurements, and is known to lose too much of urea where rain comes within 2 to 3 days and with a urease inhibitor in dry cold, and too little in dry spells of 5 to 7 days and after light rain on dry soil"

// notes are what the user must know of an application's course.
func notes(a Application, season *water.Season) []string {
	list := append([]string{Ranking}, season.Notes...)
	if a.Source.Ammonia {
		list = append(list, "ammonia: the slot is taken as closed; one that stays open, or dry cloddy soil, may lose more than half (Kansas State), which is not reckoned")
		if 100*a.Depth.Metres() < 5 {
			list = append(list, "ammonia: nothing is published for a depth of less than 2 in (5 cm); the loss at 2 in was taken, and more must be expected")
		}
	}
	urea, ammonium, _ := shares(a.Source)
	if urea == 0 && (a.Inhibitor == Urease || a.Inhibitor == UreaseAndNitrification) {
		list = append(list, "a urease inhibitor slows urea down, and "+a.Source.Called()+" holds none")
	}
	if urea+ammonium == 0 && a.Inhibitor.ofNitrification() {
		list = append(list, "a nitrification inhibitor slows ammonium down, and "+a.Source.Called()+" holds none")
	}
	if deep := 100 * a.Depth.Metres(); a.Placement == Incorporated && deep > 5 || a.Tillage != nil && 100*a.Tillage.Depth.Metres() > 5 {
		list = append(list, "worked in: the depth counts as that of the bulk of the nitrogen, about half of what the tool works; from 3 in (7.5 cm) on no ammonia is lost, by published losses of closed bands, which is less than from a slot as deep: a slot keeps a floor, for it may leak, and for mixing none is published: which of the two loses less is not known")
	}
	if a.Placement == Broadcast && groupOf(a.Source) == uanGroup {
		list = append(list, "broadcast UAN: published measurements have it lose less ammonia than urea; common practice ranks it last among the forms, for what residue holds and for leaf burn, too: see what is held beside what is lost")
	}
	return list
}
