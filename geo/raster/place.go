package raster

import (
	"fmt"
	"math"

	"ratewright/geo/crs"
)

// affine turns places in the image into coordinates: x = x0 + xi i + xj j, y the same.
// i and j count pixels to the right and down from the outer corner of the first.
type affine struct{ x0, xi, xj, y0, yi, yj float64 }

func (t affine) coordinates(i, j float64) (x, y float64) {
	return t.x0 + t.xi*i + t.xj*j, t.y0 + t.yi*i + t.yj*j
}

func (t affine) pixels(x, y float64) (i, j float64) {
	det := t.xi*t.yj - t.xj*t.yi
	dx, dy := x-t.x0, y-t.y0
	return (dx*t.yj - dy*t.xj) / det, (dy*t.xi - dx*t.yi) / det
}

// isPlain reports whether it turns back, in finite numbers.
func (t affine) isPlain() bool {
	det := t.xi*t.yj - t.xj*t.yi
	least := 1e-9 * (math.Abs(t.xi*t.yj) + math.Abs(t.xj*t.yi)) // below: both axes on one line
	return math.Abs(det) > least && !math.IsInf(1/det, 0) && !math.IsInf(det, 0)
}

// affine reads where the image lies. Source: OGC 19-008r4, section 7.2.
func (d directory) affine(isPoint bool) (affine, error) {
	t, err := d.declaredAffine()
	if err != nil {
		return t, err
	}
	if isPoint { // (0, 0) of the file is the middle of the first pixel
		t.x0, t.y0 = t.coordinates(-0.5, -0.5)
	}
	if !t.isPlain() {
		return t, d.f.fault("", "its pixels have no size or no finite one", "export it again")
	}
	return t, nil
}

func (d directory) declaredAffine() (affine, error) {
	m, err := d.doubles(tagTransform)
	if err != nil {
		return affine{}, err
	}
	if m != nil {
		if len(m) != 16 || m[12] != 0 || m[13] != 0 || m[14] != 0 || m[15] != 1 {
			return affine{}, d.f.fault(tagPlace(tagTransform), "is not a matrix of 4 by 4 with the last row 0, 0, 0, 1", "export it again")
		}
		return affine{m[3], m[0], m[1], m[7], m[4], m[5]}, nil
	}
	scale, err := d.doubles(tagPixelScale)
	if err != nil {
		return affine{}, err
	}
	tie, err := d.doubles(tagTiepoint)
	if err != nil {
		return affine{}, err
	}
	const fix = "export it as a GeoTIFF that is laid straight in its coordinate system"
	switch {
	case scale == nil && tie == nil:
		return affine{}, d.f.fault("", "does not say where it lies", fix)
	case tie == nil:
		return affine{}, d.f.fault(tagPlace(tagTiepoint), "is missing, so that its place is not known", fix)
	case scale == nil || len(tie) != 6:
		return affine{}, d.f.fault(tagPlace(tagTiepoint), fmt.Sprintf("ties %d single points to the ground, which does not say where the others lie", len(tie)/6), fix)
	case len(scale) < 2 || scale[0] <= 0 || scale[1] <= 0:
		return affine{}, d.f.fault(tagPlace(tagPixelScale), fmt.Sprintf("is %v; two sizes above zero are read", scale), fix)
	}
	t := affine{xi: scale[0], yj: -scale[1]}
	t.x0, t.y0 = tie[3]-tie[0]*scale[0], tie[4]+tie[1]*scale[1]
	return t, nil
}

// place is the ground of an image.
type place struct {
	affine affine
	system crs.CRS
	notes  []string
}

func (d directory) place(l layout, o Options) (place, error) {
	keys, err := d.geoKeys()
	if err != nil {
		return place{}, err
	}
	isPoint, err := keys.isPoint()
	if err != nil {
		return place{}, err
	}
	var p place
	if p.affine, err = d.affine(isPoint); err != nil {
		return place{}, err
	}
	var declared bool
	if p.system, declared, err = keys.system(); err == nil && !declared {
		err = p.guess(d.f, l, o)
	}
	return p, err
}

// guess takes the system of a file that declares none.
func (p *place) guess(f *file, l layout, o Options) error {
	if o.CRS != "" {
		var err error
		if p.system, err = crs.ParseName(o.CRS); err != nil {
			return f.fault("", err.Error(), "")
		}
		return nil
	}
	for _, c := range [][2]int{{0, 0}, {l.cols, 0}, {l.cols, l.rows}, {0, l.rows}} {
		x, y := p.affine.coordinates(float64(c[0]), float64(c[1]))
		if !(math.Abs(x) <= 180 && math.Abs(y) <= 90) {
			return f.fault("", fmt.Sprintf("declares no coordinate system, and (%v, %v) are no degrees", x, y), "name its coordinate system, such as EPSG:26915")
		}
	}
	p.system = crs.WGS84()
	p.notes = append(p.notes, f.name+": declares no coordinate system; its coordinates are in the range of degrees and were taken for WGS 84 longitude and latitude")
	return nil
}
