package residue

import (
	"fmt"
	"math"
	"strings"

	"ratewright/geo"
	"ratewright/geo/raster"
)

// Counted is a place where cover was counted or measured.
type Counted struct {
	ID       string
	At       geo.LonLat
	CoverPct float64 // 0 to 100
}

// Calibrate fits the line to the pixels over places. Places where the image does not reach
// or has no data are left out, and a note of the calibration counts and names them; so it
// does with places that share a pixel, which are no proof of one another. Errors are those
// of [Fit] and, as [vector.InputError], those of the image.
func Calibrate(image *raster.Raster, band int, places []Counted, o Options) (Calibration, error) {
	var points []Point
	var outside, empty, shared []string
	seen := map[[2]int]bool{}
	for _, p := range places {
		v, ok, err := image.At(band, p.At)
		if err != nil {
			return Calibration{}, err
		}
		col, row, inside := image.PixelAt(p.At)
		switch {
		case !inside:
			outside = append(outside, p.ID)
			continue
		case !ok:
			empty = append(empty, p.ID)
			continue
		}
		if seen[[2]int{col, row}] {
			shared = append(shared, p.ID)
		}
		seen[[2]int{col, row}] = true
		points = append(points, Point{ID: p.ID, Index: v, CoverPct: p.CoverPct})
	}
	left := leftOut(outside, empty)
	c, err := Fit(points, o)
	if err != nil {
		if left != "" {
			err = fmt.Errorf("%w (%s)", err, left)
		}
		return Calibration{}, err
	}
	if left != "" {
		c.Notes = append(c.Notes, left)
	}
	if len(shared) > 0 {
		c.Notes = append(c.Notes, fmt.Sprintf("%d places lie on the pixel of one before, so that the line rests on fewer than it says: %s", len(shared), named(shared)))
	}
	return c, nil
}

// leftOut says which places have no pixel.
func leftOut(outside, empty []string) string {
	var parts []string
	if len(outside) > 0 {
		parts = append(parts, fmt.Sprintf("%d places lie outside the image and are left out: %s", len(outside), named(outside)))
	}
	if len(empty) > 0 {
		parts = append(parts, fmt.Sprintf("%d places lie where it has no data and are left out: %s", len(empty), named(empty)))
	}
	return strings.Join(parts, "; ")
}

// named lists the first ids.
func named(ids []string) string {
	const most = 10
	if len(ids) <= most {
		return strings.Join(ids, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(ids[:most], ", "), len(ids)-most)
}

// Cover is what an area has of residue.
type Cover struct {
	MeanPct float64 // of the pixels with data; NaN where there is none
	SE      float64 // of the line at the area's mean index, percent, at most 100; not of single pixels
	Pixels  int     // with data and their middle in the area
	Missing float64 // share of the area, by middles of pixels, that has no data, 0 to 1
	Below   int     // pixels held at 0 %
	Above   int     // pixels held at 100 %
	Beyond  int     // pixels with an index outside the calibrated range
}

// Over returns the mean cover of an area. Where no pixel with data has its middle in it,
// Pixels is 0 and the mean is not a number, for the caller to leave out. Errors are those
// of [raster.Raster.Each].
func (c Calibration) Over(image *raster.Raster, band int, area geo.Region) (Cover, error) {
	var v Cover
	mean, index := 0.0, 0.0
	count, err := image.Each(band, area, func(x float64) {
		v.Pixels++
		n := float64(v.Pixels)
		index += x/n - index/n // a running mean stays within the numbers
		if x < c.Low || x > c.High {
			v.Beyond++
		}
		y := c.At(x)
		switch {
		case y < 0:
			v.Below++
		case y > 100:
			v.Above++
		}
		mean += (min(max(y, 0), 100) - mean) / n
	})
	if err != nil {
		return Cover{}, err
	}
	v.MeanPct, v.SE, v.Missing = mean, min(c.standardError(index), 100), count.Missing()
	if v.Pixels == 0 {
		v.MeanPct, v.SE = math.NaN(), math.NaN()
	}
	return v, nil
}

// Words is the cover of an area with what it rests on.
func (v Cover) Words() string {
	if v.Pixels == 0 {
		return "none: no pixel with data has its middle in it"
	}
	return fmt.Sprintf("%.1f %% (standard error of the line there %.1f %%; %d pixels with their middle in it)", v.MeanPct, v.SE, v.Pixels)
}

// Doubts says what stands against the cover of an area; empty where nothing does.
func (v Cover) Doubts() string {
	if v.Pixels == 0 {
		return ""
	}
	var parts []string
	if v.Missing > 0 {
		parts = append(parts, fmt.Sprintf("no data for %.1f %% of it", 100*v.Missing))
	}
	if v.Below+v.Above > 0 {
		parts = append(parts, fmt.Sprintf("%d pixels below 0 %% and %d above 100 %% by the line are held there", v.Below, v.Above))
	}
	if v.Beyond > 0 {
		parts = append(parts, fmt.Sprintf("%d pixels have an index outside the calibrated range", v.Beyond))
	}
	return strings.Join(parts, "; ")
}
