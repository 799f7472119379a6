package vector

import (
	"archive/zip"
	"errors"
	"fmt"
	"io"
	"path"
	"slices"
	"strings"
)

// Limits of a zip, far above any layer of a field.
const (
	zipMaxEntries  = 10_000
	zipMaxUnpacked = 2 << 30  // bytes of all parts together
	zipMaxRatio    = 200      // unpacked over packed, of all parts together
	zipSmall       = 64 << 20 // unpacked bytes below which the ratio does not matter
)

// zipEntry hides everything of an entry but reading forward.
type zipEntry struct{ io.ReadCloser }

// zipParts finds the parts of the one shapefile in a zip. The caller closes the
// archive behind the parts.
func zipParts(file string) (shapefileParts, io.Closer, error) {
	f, err := openFile(file) // for a message of our own where it is missing
	if err != nil {
		return nil, nil, err
	}
	f.Close()
	z, err := zip.OpenReader(file)
	if err != nil {
		return nil, nil, &InputError{File: file, What: "is not a zip that can be read: " + err.Error(), Fix: "make the zip again"}
	}
	parts, wrong := chooseParts(file, z.File)
	if wrong != nil {
		z.Close()
		return nil, nil, wrong.in(file, "")
	}
	return parts, z, nil
}

// chooseParts checks the entries of a zip and picks those of its one layer.
func chooseParts(file string, entries []*zip.File) (shapefileParts, *fault) {
	if len(entries) > zipMaxEntries {
		return nil, &fault{fmt.Sprintf("the zip has %d entries, and no more than %d are read", len(entries), zipMaxEntries), "zip only the shapefile"}
	}
	var layers []string
	for _, e := range entries {
		if f := checkEntryName(e.Name); f != nil {
			return nil, f
		}
		if !isClutter(e.Name) && strings.EqualFold(path.Ext(e.Name), ".shp") {
			layers = append(layers, e.Name)
		}
	}
	switch {
	case len(layers) == 0:
		return nil, &fault{"the zip has no .shp" + listEntries(entries), "zip the parts of one shapefile"}
	case len(layers) > 1:
		return nil, &fault{"the zip holds several layers: " + strings.Join(head(layers, 5), ", "), "unpack it and name one .shp"}
	}
	return layerParts(file, entries, strings.TrimSuffix(layers[0], path.Ext(layers[0])))
}

// layerParts picks the entries with the name of the layer and checks what they
// promise to unpack to.
func layerParts(file string, entries []*zip.File, stem string) (shapefileParts, *fault) {
	parts := shapefileParts{}
	var packed, unpacked uint64
	for _, e := range entries {
		ext := path.Ext(e.Name)
		lower := strings.ToLower(ext)
		if !strings.EqualFold(strings.TrimSuffix(e.Name, ext), stem) || !slices.Contains(partNames, lower) {
			continue
		}
		switch {
		case parts[lower] != nil:
			return nil, &fault{fmt.Sprintf("the zip holds %s twice", e.Name), "make the zip again"}
		case e.Flags&1 != 0:
			return nil, &fault{fmt.Sprintf("%s is encrypted", e.Name), "make the zip again without a password"}
		case e.Method != zip.Store && e.Method != zip.Deflate:
			return nil, &fault{fmt.Sprintf("%s is packed by method %d, which is not read", e.Name, e.Method), "make the zip again as a plain zip"}
		case e.UncompressedSize64 > zipMaxUnpacked:
			return nil, &fault{fmt.Sprintf("%s unpacks to more than %d GiB", e.Name, zipMaxUnpacked>>30), "give a smaller file, unpacked"}
		}
		packed += e.CompressedSize64
		unpacked += e.UncompressedSize64
		parts[lower] = func() (*stream, error) { return openEntry(file, e) }
	}
	switch {
	case unpacked > zipMaxUnpacked:
		return nil, &fault{fmt.Sprintf("its parts unpack to more than %d GiB", zipMaxUnpacked>>30), "give a smaller file, unpacked"}
	case unpacked > zipSmall && unpacked/max(packed, 1) > zipMaxRatio:
		return nil, &fault{fmt.Sprintf("its parts unpack to more than %d times their size", zipMaxRatio), "unpack it by hand and look at it"}
	}
	return parts, nil
}

// openEntry opens one entry for reading forward.
func openEntry(file string, e *zip.File) (*stream, error) {
	name := file + ": " + path.Base(e.Name)
	rc, err := e.Open()
	if err != nil {
		return nil, &InputError{File: name, What: "cannot be unpacked: " + err.Error(), Fix: "make the zip again"}
	}
	return newStream(name, int64(e.UncompressedSize64), zipEntry{rc}), nil
}

// checkEntryName refuses names that lead out of the folder a zip is unpacked in.
// Nothing is unpacked here, but such a zip was not made by anyone who means well.
func checkEntryName(name string) *fault {
	clean := strings.ReplaceAll(name, `\`, "/")
	climbs := strings.HasPrefix(clean, "/") || len(clean) > 1 && clean[1] == ':' || strings.ContainsRune(clean, 0)
	for _, step := range strings.Split(clean, "/") {
		climbs = climbs || step == ".."
	}
	if climbs {
		return &fault{fmt.Sprintf("the entry %.80q leads out of the zip", name), "do not use this zip"}
	}
	return nil
}

// isClutter tells the files that some systems add to a zip.
func isClutter(name string) bool {
	return strings.HasPrefix(name, "__MACOSX/") || strings.HasPrefix(path.Base(name), "._")
}

func listEntries(entries []*zip.File) string {
	var names []string
	for _, e := range head(entries, 5) {
		names = append(names, e.Name)
	}
	if len(names) == 0 {
		return " and no other file"
	}
	return ", but " + strings.Join(names, ", ")
}

func head[T any](s []T, n int) []T { return s[:min(len(s), n)] }

// zipSource closes the archive behind the shapefile that was read from it.
type zipSource struct {
	source
	archive io.Closer
}

func (z *zipSource) close() error { return errors.Join(z.source.close(), z.archive.Close()) }

// openZip opens the shapefile in a zip.
func (r *Reader) openZip(file string, o Options) error {
	parts, archive, err := zipParts(file)
	if err != nil {
		return err
	}
	if err := r.openShapefile(parts, o); err != nil {
		archive.Close()
		return err
	}
	r.src = &zipSource{r.src, archive}
	return nil
}
