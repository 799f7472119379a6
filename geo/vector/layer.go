package vector

// Column describes one attribute over the features read.
type Column struct {
	Name     string
	Numeric  bool // every value was a number or null
	Decimals int  // most digits behind the point
}

// The reasons in [Layer.Skipped].
const (
	SkippedNull    = "null geometry"
	SkippedDeleted = "deleted row"
)

// Layer is what one file holds.
type Layer struct {
	Path    string
	Format  string // "GeoJSON", "shapefile", "zipped shapefile"
	CRSName string // coordinate system the file's coordinates were in
	Datum   string // datum of that system
	Columns []Column
	// Features in file order, outlines in degrees.
	Features []Feature
	// Skipped counts the records that gave no feature, by reason.
	Skipped map[string]int
	// Notes are what the user should know and did not stop the work.
	Notes []string
}

// Options change how a file is read.
type Options struct {
	// CRS names the coordinate system ("EPSG:26915") of a file that declares
	// none. A system that the file declares always holds.
	CRS string
}
