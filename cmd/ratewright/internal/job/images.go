package job

import (
	"errors"
	"fmt"
	"strings"

	"ratewright/geo/raster"
	"ratewright/geo/vector"
	"ratewright/rx"
	"ratewright/rx/residue"
)

// ImageSpec is an image of an index of residue, with counts of the cover by which it is
// calibrated, that gives the zones a column.
type ImageSpec struct {
	File   string
	Band   int // from 1
	CRS    string
	Counts TableSpec
	Name   string // of the column
}

// images gives the zones a column of each image: the mean residue cover, percent.
func (o *opener) images(specs []ImageSpec, g Ground, zones []rx.Zone) error {
	for _, s := range specs {
		if err := o.image(s, g, zones); err != nil {
			return err
		}
	}
	return nil
}

func (o *opener) image(s ImageSpec, g Ground, zones []rx.Zone) error {
	image, err := raster.Open(s.File, raster.Options{CRS: s.CRS})
	if err != nil {
		return err
	}
	defer image.Close() // nothing was written, so that closing cannot lose anything
	for _, n := range image.Notes() {
		o.note(s.File, n)
	}
	if datum := image.Datum(); datum != "" && g.Datum != "" && datum != g.Datum {
		o.note(s.File, fmt.Sprintf("its datum is %s, the boundary's %s: the two may lie a metre or two apart", datum, g.Datum))
	}
	c, err := o.calibrated(s, image)
	if err != nil {
		return err
	}
	var covers, doubts []string
	for i := range zones {
		cover, err := c.Over(image, s.Band, zones[i].Region)
		if err != nil {
			return err
		}
		covers = append(covers, zones[i].ID+" "+cover.Words())
		if d := cover.Doubts(); d != "" {
			doubts = append(doubts, fmt.Sprintf("%s of zone %s: %s", s.Name, zones[i].ID, d))
		}
		if err := give(&zones[i], s.File, s.Name, cover.MeanPct); err != nil {
			return err
		}
	}
	o.note(s.File, s.Name+" by zone: "+strings.Join(covers, ", "))
	for _, d := range doubts {
		o.note(s.File, d)
	}
	return nil
}

// calibrated is the line through the counts.
func (o *opener) calibrated(s ImageSpec, image *raster.Raster) (residue.Calibration, error) {
	values, err := o.valued(&s.Counts)
	if err != nil {
		return residue.Calibration{}, err
	}
	counts := make([]residue.Counted, len(values))
	for i, v := range values {
		counts[i] = residue.Counted{ID: v.place, At: v.at, CoverPct: v.value}
	}
	c, err := residue.Calibrate(image, s.Band, counts, residue.DefaultOptions())
	var input *vector.InputError
	switch {
	case errors.As(err, &input):
		return c, err
	case err != nil:
		return c, &vector.InputError{File: s.Counts.File, What: err.Error()}
	}
	o.note(s.Counts.File, s.Name+": "+c.Words())
	for _, n := range c.Notes {
		o.note(s.Counts.File, n)
	}
	o.note(s.File, "an index shows residue on ground that is nearly bare and dry; pixels with green plants, wet soil, cloud or shadow must have no data")
	return c, nil
}
