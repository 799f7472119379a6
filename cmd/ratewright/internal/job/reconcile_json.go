package job

import (
	"bytes"
	"encoding/json"

	"ratewright/asapplied"
	"ratewright/cmd/ratewright/internal/outputs"
	"ratewright/rx"
)

// reconcileJSON is reconcile.json. Areas are m2 and masses kg of nitrogen; null
// is what the log or the job does not tell.
type reconcileJSON struct {
	Schema      string               `json:"schema"`
	Plane       rx.PlaneJSON         `json:"plane"`
	Field       string               `json:"field"`
	Application string               `json:"application"`
	AreaM2      figures              `json:"area_m2"`
	NitrogenKg  figures              `json:"nitrogen_kg"`
	Records     recordsJSON          `json:"records"`
	Zones       []zoneJSON           `json:"zones"`
	Patches     map[string]patchJSON `json:"patches"`
	Files       map[string]string    `json:"files"`
	Notes       []string             `json:"notes"`
}

// figures are numbers by name; nil is null.
type figures map[string]*float64

type recordsJSON struct {
	Read       int            `json:"read"`
	Used       int            `json:"used"`
	NotWorking int            `json:"not_working"`
	Dropped    map[string]int `json:"dropped"`
}

type zoneJSON struct {
	ID         string  `json:"id"`
	AreaM2     figures `json:"area_m2"`
	NitrogenKg figures `json:"nitrogen_kg"`
}

// patchJSON sums the patches of one kind: those listed in the files and those
// below min_patch.
type patchJSON struct {
	Listed       int     `json:"listed"`
	ListedAreaM2 float64 `json:"listed_area_m2"`
	Small        int     `json:"small"`
	SmallAreaM2  float64 `json:"small_area_m2"`
}

// reconcileSet makes the files of the step.
func (j Job) reconcileSet(a *ApplicationSpec, r Reconciled) (outputs.Set, error) {
	files, note, err := j.patchFiles(a, r.Reconciliation)
	if err != nil {
		return outputs.Set{}, err
	}
	o := r.Reconciliation.Plane.Origin()
	out := reconcileJSON{
		Schema: "ratewright/reconcile/1", Plane: rx.PlaneJSON{Lon0: o.Lon(), Lat0: o.Lat()},
		Field: r.Field.Name, Application: r.Application,
		AreaM2:     areaJSON(r.Reconciliation.Area, r.Reconciliation.Known),
		NitrogenKg: nitrogenJSON(r.Reconciliation.Nitrogen, r.Reconciliation.Known),
		Zones:      []zoneJSON{}, Patches: map[string]patchJSON{},
		Files: outputs.Sums(files), Notes: r.Notes,
	}
	if note != "" {
		out.Notes = append(out.Notes, note)
	}
	rec := r.Reconciliation.Records
	out.Records = recordsJSON{rec.Read, rec.Used, rec.NotWorking, rec.Dropped}
	if out.Records.Dropped == nil {
		out.Records.Dropped = map[string]int{}
	}
	for _, z := range r.Reconciliation.Zones {
		out.Zones = append(out.Zones, zoneJSON{z.ID, areaJSON(z.Area, r.Reconciliation.Known), nitrogenJSON(z.Nitrogen, r.Reconciliation.Known)})
	}
	for kind, s := range r.Reconciliation.PatchSums {
		out.Patches[kind.String()] = patchJSON{s.Listed, s.ListedArea.SquareMetres(), s.Small, s.SmallArea.SquareMetres()}
	}
	data, err := encodeJSON(out)
	return outputs.Set{Files: files, Summary: outputs.File{Name: j.fileName("reconcile.json", a), Data: data}}, err
}

// encodeJSON writes indented JSON; a number that is not finite is an error.
func encodeJSON(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	err := enc.Encode(v)
	return b.Bytes(), err
}

// areaJSON names the areas and leaves out what is not known.
func areaJSON(a asapplied.Areas, k asapplied.Known) figures {
	f := figures{
		"field": &a.Field, "covered": &a.Covered, "once": &a.Once, "doubled": &a.Doubled, "lapped": &a.Lapped,
		"missed": &a.Missed, "not_planned": &a.NotPlanned, "outside": &a.Outside, "off_limits": &a.OffLimits,
		"as_prescribed": nil, "light": nil, "heavy": nil, "unprescribed": nil, "shallow": nil, "depth_unknown": nil,
	}
	if k.Plan {
		f["unprescribed"] = &a.Unprescribed
	}
	if k.Plan && k.Nitrogen {
		f["as_prescribed"], f["light"], f["heavy"] = &a.AsPrescribed, &a.Light, &a.Heavy
	}
	if k.Depth {
		f["depth_unknown"] = &a.DepthUnknown
	}
	if k.Shallow {
		f["shallow"] = &a.Shallow
	}
	return f
}

func nitrogenJSON(n asapplied.Nitrogen, k asapplied.Known) figures {
	f := figures{
		"prescribed": nil, "applied": nil, "in_field": nil, "outside": nil, "off_limits": nil, "standing": nil,
		"short": nil, "excess": nil, "shallow": nil,
	}
	if k.Plan {
		f["prescribed"] = &n.Prescribed
	}
	if k.Nitrogen {
		f["applied"], f["in_field"], f["outside"] = &n.Applied, &n.InField, &n.Outside
		f["off_limits"], f["standing"] = &n.OffLimits, &n.Standing
	}
	if k.Plan && k.Nitrogen {
		f["short"], f["excess"] = &n.Short, &n.Excess
	}
	if k.Shallow && k.Nitrogen {
		f["shallow"] = &n.Shallow
	}
	return f
}
