package asapplied

import (
	"maps"

	"ratewright/rx"
)

// Schema names the form of reconcile.json.
const Schema = "ratewright/reconcile/1"

// ReconciliationJSON is reconcile.json: areas in m², nitrogen in kg, angles in
// degrees. What the log or the job does not allow to tell is null.
type ReconciliationJSON struct {
	Schema     string                  `json:"schema"`
	Plane      rx.PlaneJSON            `json:"plane"`
	Field      string                  `json:"field"`
	AreaM2     AreaJSON                `json:"area_m2"`
	NitrogenKg NitrogenJSON            `json:"nitrogen_kg"`
	Records    RecordsJSON             `json:"records"`
	Zones      []ZoneJSON              `json:"zones"`
	Patches    map[string]PatchSumJSON `json:"patches"`
	SimplifyM  *float64                `json:"simplify_m"` // how far outlines may lie off
	Files      map[string]string       `json:"files"`      // name -> SHA-256, by the caller
	Notes      []string                `json:"notes"`
}

// AreaJSON are areas in m².
type AreaJSON struct {
	Field        float64  `json:"field"`
	Covered      float64  `json:"covered"`
	Once         float64  `json:"once"`
	Doubled      float64  `json:"doubled"`
	Lapped       float64  `json:"lapped"`
	Missed       float64  `json:"missed"`
	NotPlanned   float64  `json:"not_planned"`
	Outside      float64  `json:"outside"`
	OffLimits    float64  `json:"off_limits"`
	AsPrescribed *float64 `json:"as_prescribed"`
	Light        *float64 `json:"light"`
	Heavy        *float64 `json:"heavy"`
	Unprescribed *float64 `json:"unprescribed"`
	Shallow      *float64 `json:"shallow"`
	DepthUnknown *float64 `json:"depth_unknown"`
}

// NitrogenJSON are masses of nitrogen in kg.
type NitrogenJSON struct {
	Prescribed *float64 `json:"prescribed"`
	Applied    *float64 `json:"applied"`
	InField    *float64 `json:"in_field"`
	Outside    *float64 `json:"outside"`
	OffLimits  *float64 `json:"off_limits"`
	Standing   *float64 `json:"standing"`
	Short      *float64 `json:"short"`
	Excess     *float64 `json:"excess"`
	// The parts of short: on missed ground, on light ground, within the tolerance.
	ShortMissed *float64 `json:"short_missed"`
	ShortLight  *float64 `json:"short_light"`
	ShortWithin *float64 `json:"short_within"`
	Shallow     *float64 `json:"shallow"`
}

// RecordsJSON says what became of the records.
type RecordsJSON struct {
	Read       int            `json:"read"`
	Used       int            `json:"used"`
	NotWorking int            `json:"not_working"`
	Dropped    map[string]int `json:"dropped"`
}

// ZoneJSON is a zone's row.
type ZoneJSON struct {
	ID         string       `json:"id"`
	AreaM2     AreaJSON     `json:"area_m2"`
	NitrogenKg NitrogenJSON `json:"nitrogen_kg"`
}

// PatchSumJSON sums the patches of one kind: those listed, and those smaller
// than the smallest that is.
type PatchSumJSON struct {
	Listed       int     `json:"listed"`
	ListedAreaM2 float64 `json:"listed_area_m2"`
	Small        int     `json:"small"`
	SmallAreaM2  float64 `json:"small_area_m2"`
}

// JSON is the reconciliation in the form of reconcile.json, its Files empty.
func (r *Reconciliation) JSON() ReconciliationJSON {
	o := r.Plane.Origin()
	j := ReconciliationJSON{
		Schema: Schema, Plane: rx.PlaneJSON{Lon0: o.Lon(), Lat0: o.Lat()}, Field: r.FieldName,
		AreaM2: r.Known.areas(&r.Area), NitrogenKg: r.Known.nitrogen(&r.Nitrogen),
		Records: RecordsJSON{
			Read: r.Records.Read, Used: r.Records.Used, NotWorking: r.Records.NotWorking,
			Dropped: map[string]int{DropDuplicate: 0, DropOtherField: 0},
		},
		Zones: make([]ZoneJSON, 0, len(r.Zones)), Patches: map[string]PatchSumJSON{},
		SimplifyM: when(r.Simplify > 0, r.Simplify.Metres()), Files: map[string]string{},
		Notes: append([]string{}, r.Notes...),
	}
	maps.Copy(j.Records.Dropped, r.Records.Dropped)
	for i := range r.Zones {
		z := &r.Zones[i]
		j.Zones = append(j.Zones, ZoneJSON{z.ID, r.Known.areas(&z.Area), r.Known.nitrogen(&z.Nitrogen)})
	}
	for k, s := range r.PatchSums {
		j.Patches[k.String()] = PatchSumJSON{s.Listed, s.ListedArea.SquareMetres(), s.Small, s.SmallArea.SquareMetres()}
	}
	return j
}

// when is v where it is known, else null.
func when(known bool, v float64) *float64 {
	if !known {
		return nil
	}
	return &v
}

func (k Known) areas(a *Areas) AreaJSON {
	rated := k.Plan && k.Nitrogen
	return AreaJSON{
		Field: a.Field, Covered: a.Covered, Once: a.Once, Doubled: a.Doubled, Lapped: a.Lapped,
		Missed: a.Missed, NotPlanned: a.NotPlanned, Outside: a.Outside, OffLimits: a.OffLimits,
		AsPrescribed: when(rated, a.AsPrescribed), Light: when(rated, a.Light), Heavy: when(rated, a.Heavy),
		Unprescribed: when(k.Plan, a.Unprescribed),
		Shallow:      when(k.Shallow, a.Shallow), DepthUnknown: when(k.Depth, a.DepthUnknown),
	}
}

func (k Known) nitrogen(n *Nitrogen) NitrogenJSON {
	rated := k.Plan && k.Nitrogen
	return NitrogenJSON{
		Prescribed: when(k.Plan, n.Prescribed), Applied: when(k.Nitrogen, n.Applied), InField: when(k.Nitrogen, n.InField),
		Outside: when(k.Nitrogen, n.Outside), OffLimits: when(k.Nitrogen, n.OffLimits), Standing: when(k.Nitrogen, n.Standing),
		Short: when(rated, n.Short), Excess: when(rated, n.Excess),
		ShortMissed: when(rated, n.ShortMissed), ShortLight: when(rated, n.ShortLight), ShortWithin: when(rated, n.ShortWithin),
		Shallow: when(k.Shallow && k.Nitrogen, n.Shallow),
	}
}
