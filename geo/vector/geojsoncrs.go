package vector

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"

	"ratewright/geo/crs"
)

// use takes a coordinate system for the file.
func (r *Reader) use(system crs.CRS) {
	r.frame = newFrame(system)
	r.head.CRSName, r.head.Datum = system.Name(), system.Datum()
}

// geojsonSystem finds the coordinate system of a GeoJSON file before its features
// are read, for an old crs member may also stand behind them. declared says that
// there is such a member.
func geojsonSystem(path string, o Options) (system crs.CRS, declared bool, err error) {
	raw, err := findCRS(path)
	if err != nil {
		return crs.CRS{}, false, err
	}
	name, err := crsName(raw)
	if err != nil {
		return crs.CRS{}, false, &InputError{
			File: path, Place: "crs", What: err.Error(),
			Fix: `name the system as {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::26915"}} or convert the file to longitude and latitude`,
		}
	}
	switch {
	case name != "":
		system, err = crs.ParseName(name)
	case o.CRS != "":
		system, err = crs.ParseName(o.CRS)
	default:
		system = crs.WGS84()
	}
	if err != nil {
		return crs.CRS{}, false, faultOf(err).in(path, "crs")
	}
	return system, raw != nil, nil
}

// crsName returns the name in a crs member of the format of 2008; "" where it is
// absent or null.
func crsName(raw []byte) (string, error) {
	if raw == nil || string(raw) == "null" {
		return "", nil
	}
	var member struct {
		Type       string
		Properties struct {
			Name string
			Code json.Number
		}
	}
	if err := json.Unmarshal(raw, &member); err != nil {
		return "", errors.New("the crs member cannot be understood")
	}
	switch {
	case member.Properties.Name != "":
		return member.Properties.Name, nil
	case member.Type == "EPSG" && member.Properties.Code != "":
		return "EPSG:" + member.Properties.Code.String(), nil
	}
	return "", errors.New("the crs member names no system")
}

// findCRS returns the text of the crs member of the outermost object, nil without
// one. Few files have the letters at all, and looking for those is fast.
func findCRS(path string) ([]byte, error) {
	f, err := openFile(path)
	if err != nil {
		return nil, err
	}
	defer f.Close() // only read from
	found, err := holds(f, `"crs"`)
	if err != nil || !found {
		return nil, err
	}
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return nil, unreadable(path, err)
	}
	s := newJSONScanner(path, f)
	if err := startJSON(s); err != nil {
		return nil, err
	}
	for first := true; ; first = false {
		ok, err := s.more(first, '}')
		if err != nil || !ok {
			return nil, err
		}
		name, err := s.key()
		if err != nil {
			return nil, err
		}
		if string(name) != "crs" {
			if err := s.skip(0); err != nil {
				return nil, err
			}
			continue
		}
		raw, err := s.raw()
		return bytes.Clone(raw), err
	}
}

// holds reports whether the letters occur anywhere in the file.
func holds(f *os.File, letters string) (bool, error) {
	buf := make([]byte, 256<<10)
	kept := 0
	for {
		n, err := f.Read(buf[kept:])
		if bytes.Contains(buf[:kept+n], []byte(letters)) {
			return true, nil
		}
		if errors.Is(err, io.EOF) {
			return false, nil
		}
		if err != nil {
			return false, unreadable(f.Name(), err)
		}
		tail := min(kept+n, len(letters)-1)
		copy(buf, buf[kept+n-tail:kept+n])
		kept = tail
	}
}
