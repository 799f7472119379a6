package vector

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"

	"ratewright/geo/crs"
)

// smallPart is the longest that a .prj or .cpg may be.
const smallPart = 64 << 10

// shapefileParts opens the parts of one shapefile by their extension.
type shapefileParts map[string]func() (*stream, error)

// partNames are the extensions that are read.
var partNames = []string{".shp", ".shx", ".dbf", ".prj", ".cpg"}

// folderParts finds the siblings of a .shp, whatever their case of letters; of two
// that differ in nothing else, the one that spells the name as the .shp does.
func folderParts(path string) (shapefileParts, error) {
	folder, base := filepath.Split(path)
	stem := strings.TrimSuffix(base, filepath.Ext(base))
	if folder == "" {
		folder = "."
	}
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, unreadable(path, err)
	}
	parts := shapefileParts{}
	exact := map[string]bool{}
	for _, e := range entries {
		ext := filepath.Ext(e.Name())
		lower := strings.ToLower(ext)
		name := strings.TrimSuffix(e.Name(), ext)
		if !strings.EqualFold(name, stem) || exact[lower] || lower == ".shp" {
			continue
		}
		exact[lower] = name == stem
		file := filepath.Join(filepath.Dir(path), e.Name())
		parts[lower] = func() (*stream, error) { return openStream(file) }
	}
	parts[".shp"] = func() (*stream, error) { return openStream(path) }
	return parts, nil
}

// openShapefile opens the parts of a shapefile and reads their headers.
func (r *Reader) openShapefile(parts shapefileParts, o Options) (err error) {
	src := &shapefileSource{}
	if src.shp, err = parts[".shp"](); err != nil {
		return err
	}
	r.src = src
	defer func() {
		if err != nil {
			src.close()
		}
	}()
	if src.header, err = readShpHeader(src.shp); err != nil {
		return err
	}
	if err := r.openTable(src, parts); err != nil {
		return err
	}
	if err := r.openIndex(src, parts); err != nil {
		return err
	}
	return r.shapefileSystem(src, parts, o)
}

// openTable opens the .dbf and its code page.
func (r *Reader) openTable(src *shapefileSource, parts shapefileParts) error {
	open, ok := parts[".dbf"]
	if !ok {
		r.head.Notes = append(r.head.Notes, fmt.Sprintf("%s has no .dbf: the features have no attributes", src.shp.name))
		return nil
	}
	s, err := open()
	if err != nil {
		return err
	}
	if src.dbf, err = newDBF(s); err != nil {
		s.close()
		return err
	}
	text, ok, err := smallText(parts, ".cpg")
	if err != nil {
		return err
	}
	if ok {
		if page := pageNamed(text); page != pageGuess {
			src.dbf.page = page
		}
	}
	for _, c := range src.dbf.columns {
		at := r.columns.add(c.name)
		r.columns.columns[at].Numeric = c.kind == 'N' || c.kind == 'F'
		r.columns.columns[at].Decimals = c.decimals
	}
	return nil
}

// openIndex opens the .shx where there is one.
func (r *Reader) openIndex(src *shapefileSource, parts shapefileParts) error {
	open, ok := parts[".shx"]
	if !ok {
		r.head.Notes = append(r.head.Notes, fmt.Sprintf("%s has no .shx: its records were read in file order", src.shp.name))
		return nil
	}
	s, err := open()
	if err != nil {
		return err
	}
	if err := src.useIndex(s); err != nil {
		return err
	}
	if n := int((s.size - shpHeaderSize) / 8); src.dbf != nil && n != src.dbf.rows {
		return src.dbf.mismatch(n)
	}
	return nil
}

// shapefileSystem finds the coordinate system of a shapefile.
func (r *Reader) shapefileSystem(src *shapefileSource, parts shapefileParts, o Options) error {
	text, ok, err := smallText(parts, ".prj")
	if err != nil {
		return err
	}
	switch {
	case ok && strings.TrimSpace(text) != "":
		system, err := crs.ParseWKT(text)
		if err != nil {
			return faultOf(err).in(src.shp.name, ".prj")
		}
		r.use(system)
	case o.CRS != "":
		system, err := crs.ParseName(o.CRS)
		if err != nil {
			return faultOf(err).in(src.shp.name, "")
		}
		r.use(system)
	case inDegrees(src.header):
		r.use(crs.WGS84())
		r.head.Notes = append(r.head.Notes, fmt.Sprintf("%s has no .prj: its coordinates were taken as longitude and latitude on WGS 84", src.shp.name))
	default:
		box := src.header.box
		return &InputError{
			File: src.shp.name,
			What: fmt.Sprintf("there is no .prj, and the coordinates from %s to %s are not degrees", spot(box.Min), spot(box.Max)),
			Fix:  "add the .prj, or name the coordinate system of the file",
		}
	}
	return nil
}

// inDegrees reports whether the box of a file may be in degrees. A file without
// records has any box.
func inDegrees(h shpHeader) bool {
	return h.bytes == shpHeaderSize ||
		math.Abs(h.box.Min[0]) <= 180 && math.Abs(h.box.Max[0]) <= 180 &&
			math.Abs(h.box.Min[1]) <= 90 && math.Abs(h.box.Max[1]) <= 90
}

// smallText reads a short part; false where it is missing.
func smallText(parts shapefileParts, ext string) (string, bool, error) {
	open, ok := parts[ext]
	if !ok {
		return "", false, nil
	}
	s, err := open()
	if err != nil {
		return "", false, err
	}
	defer s.close() // only read from
	b, err := s.small(smallPart)
	if err != nil {
		return "", false, err
	}
	return strings.TrimPrefix(string(b), "\ufeff"), true, nil
}
