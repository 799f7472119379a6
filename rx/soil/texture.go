package soil

import (
	"fmt"
	"slices"
	"strings"
)

// Texture is the USDA class of sand, silt and clay, in percent that add up to 100.
// Source: USDA Soil Survey Manual, chapter 3, the texture triangle.
func Texture(sand, silt, clay float64) (string, error) {
	const off = 2 // percent: means of representative values do not always add up
	if sum := sand + silt + clay; !(sand >= 0 && silt >= 0 && clay >= 0 && sum > 100-off && sum < 100+off) {
		return "", fmt.Errorf("sand %g, silt %g and clay %g %% do not add up to 100 %%", sand, silt, clay)
	}
	switch {
	case silt+1.5*clay < 15:
		return "sand", nil
	case silt+2*clay < 30:
		return "loamy sand", nil
	case clay >= 7 && clay < 20 && sand > 52, clay < 7 && silt < 50:
		return "sandy loam", nil
	case clay < 27 && clay >= 7 && silt >= 28 && silt < 50 && sand <= 52:
		return "loam", nil
	case silt >= 80 && clay < 12:
		return "silt", nil
	case silt >= 50 && clay < 27:
		return "silt loam", nil
	case clay >= 20 && clay < 35 && silt < 28 && sand > 45:
		return "sandy clay loam", nil
	case clay >= 27 && clay < 40 && sand > 20 && sand <= 45:
		return "clay loam", nil
	case clay >= 27 && clay < 40 && sand <= 20:
		return "silty clay loam", nil
	case clay >= 35 && sand > 45:
		return "sandy clay", nil
	case clay >= 40 && silt >= 40:
		return "silty clay", nil
	}
	return "clay", nil
}

// classes are the USDA classes of texture.
var classes = []string{
	"sand", "loamy sand", "sandy loam", "loam", "silt loam", "silt", "sandy clay loam", "clay loam", "silty clay loam", "sandy clay", "silty clay", "clay",
}

// Class is the USDA class of a texture in words, which may name the grain of its sand
// as in fine sandy loam or loamy very fine sand; "" where it is none.
//
// Source: USDA Soil Survey Manual, chapter 3.
func Class(words string) string {
	var list []string
	for _, w := range strings.Fields(strings.ToLower(words)) {
		if w != "very" && w != "fine" && w != "coarse" {
			list = append(list, w)
		}
	}
	if class := strings.Join(list, " "); slices.Contains(classes, class) {
		return class
	}
	return ""
}

// Group is coarse, medium or fine: sands and sandy loam, loams and silts, and what has
// more clay (common practice).
func Group(texture string) string {
	switch texture {
	case "sand", "loamy sand", "sandy loam":
		return "coarse"
	case "loam", "silt loam", "silt":
		return "medium"
	case "":
		return ""
	}
	return "fine"
}
