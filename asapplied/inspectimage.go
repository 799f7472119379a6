package asapplied

import (
	"fmt"
	"path/filepath"
	"strings"

	"ratewright/geo/raster"
)

// ImageReport describes an image.
type ImageReport struct {
	Cols   int      `json:"cols"`
	Rows   int      `json:"rows"`
	Bands  int      `json:"bands"`
	Type   string   `json:"type"`    // of its numbers, such as float32
	NoData *float64 `json:"no_data"` // stands for no data; null where the file names none
}

func isImage(path string) bool {
	ext := strings.ToLower(filepath.Ext(path))
	return ext == ".tif" || ext == ".tiff"
}

// lookAtImage reads the head of an image.
func (in *Inspection) lookAtImage() error {
	r, err := raster.Open(in.Path, raster.Options{})
	if err != nil {
		return err
	}
	defer r.Close() // nothing was written, so that closing cannot lose anything
	in.Format, in.Kind, in.CRS, in.Datum = "GeoTIFF", KindImage, r.CRSName(), r.Datum()
	in.Image = &ImageReport{Bands: r.Bands(), Type: r.Type()}
	in.Image.Cols, in.Image.Rows = r.Size()
	if v, ok := r.NoData(); ok {
		in.Image.NoData = &v
	}
	in.Notes = append(in.Notes, r.Notes()...)
	b, err := r.Bounds()
	if err != nil {
		in.fault(err)
		return nil
	}
	in.Bounds = &Bounds{b.Left(), b.Bottom(), b.Right(), b.Top()}
	return nil
}

func (i ImageReport) text() string {
	text := fmt.Sprintf("%d columns, %d rows, %d bands of %s", i.Cols, i.Rows, i.Bands, i.Type)
	if i.NoData == nil {
		return text + ", no value for no data"
	}
	return text + fmt.Sprintf(", no data %v", *i.NoData)
}
