//go:build reference

package vector

import (
	"os/exec"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A third reader: GDAL.
func TestGDALReadsWhatIsWritten(t *testing.T) {
	tool, err := exec.LookPath("ogrinfo")
	require.NoError(t, err, "this check needs ogrinfo of Debian's gdal-bin")
	p, err := EncodeShapefile(rateFields, threeRectangles(), day)
	require.NoError(t, err)
	path := writeParts(t, asParts(p))
	out, err := exec.Command(tool, "-al", path).CombinedOutput()
	require.NoError(t, err, string(out))
	for _, want := range []string{
		"Geometry: Polygon", "Feature Count: 3", `GEOGCRS["WGS 84"`, "GAL_AC: Real (9.2)", "ZONE_ID: String (12.0)",
		"GAL_AC (Real) = 40.50", "ZONE_ID (String) = Z2", "POLYGON ((-93.6 42.03,",
	} {
		assert.Contains(t, string(out), want)
	}
	assert.NotContains(t, string(out), "Warning")
}
