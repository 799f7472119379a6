package water

import (
	"fmt"
	"math"
	"strings"
)

func newBucket(soil Soil, latitude float64, c Coefficients) (*bucket, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	if !finite(latitude) || math.Abs(latitude) > 90 {
		return nil, fmt.Errorf("soil water: a latitude of %g degrees is none; write -90 to 90, north above zero", latitude)
	}
	b := &bucket{c: c, latitude: latitude * math.Pi / 180}
	var ok bool
	if b.texture, ok = c.texture(soil.Group); !ok {
		return nil, fmt.Errorf("soil water: the texture group %q is not known; write coarse, medium or fine", soil.Group)
	}
	if err := b.drainage(soil); err != nil {
		return nil, err
	}
	if err := b.hydrologic(soil); err != nil {
		return nil, err
	}
	b.wilting, b.capacity, b.saturation = b.texture.Wilting*c.DepthMM, b.texture.Capacity*c.DepthMM, b.texture.Saturation*c.DepthMM
	b.water = b.wilting + c.StartShare*(b.capacity-b.wilting)
	if b.water >= b.wilting+c.NearCapacity*(b.capacity-b.wilting) {
		b.surface = 1
	}
	if c.Planted.IsZero() {
		b.notes = append(b.notes, "soil water: no planting date, so no crop draws water: soil dries too slowly in summer")
	}
	return b, nil
}

func (c Coefficients) texture(group string) (Texture, bool) {
	switch group {
	case "coarse":
		return c.Coarse, true
	case "medium":
		return c.Medium, true
	case "fine":
		return c.Fine, true
	}
	return Texture{}, false
}

// of is the share of a class, and false where there is no such class.
func (d Drainage) of(class string) (float64, bool) {
	switch class {
	case "excessively drained":
		return d.Excessively, true
	case "somewhat excessively drained":
		return d.SomewhatExcessively, true
	case "well drained":
		return d.Well, true
	case moderatelyWell:
		return d.ModeratelyWell, true
	case "somewhat poorly drained":
		return d.SomewhatPoorly, true
	case "poorly drained":
		return d.Poorly, true
	case "very poorly drained":
		return d.VeryPoorly, true
	}
	return 0, false
}

const moderatelyWell = "moderately well drained"

func (b *bucket) drainage(soil Soil) error {
	class := strings.ToLower(strings.Join(strings.Fields(soil.Drainage), " "))
	if class == "" {
		class = moderatelyWell
		b.notes = append(b.notes, "soil water: the drainage class is not known and was taken as moderately well drained; days of saturation may be far off")
	}
	share, ok := b.c.Drains.of(class)
	if !ok {
		return fmt.Errorf("soil water: the drainage class %q is not known; write one of USDA's: excessively, somewhat excessively, well, moderately well, somewhat poorly, poorly or very poorly drained", soil.Drainage)
	}
	if soil.Tiled {
		share = max(share, b.c.Drains.ModeratelyWell)
	} else if strings.Contains(class, "poorly") {
		b.notes = append(b.notes, "soil water: the soil is "+class+" by nature; where it has tile, say so, or days of saturation are too many")
	}
	b.drains = min(1, share*b.c.DrainsScale)
	return nil
}

// of is the curve number of a group, and false where there is no such group.
func (c Curves) of(group string) (float64, bool) {
	switch group {
	case "A":
		return c.A, true
	case "B":
		return c.B, true
	case "C":
		return c.C, true
	case "D":
		return c.D, true
	}
	return 0, false
}

// hydrologic takes the curve number; of a double group the letter for drained ground
// where it is tiled, else the other.
func (b *bucket) hydrologic(soil Soil) error {
	group := strings.ToUpper(strings.TrimSpace(soil.Hydrologic))
	if group == "" {
		b.notes = append(b.notes, "soil water: the hydrologic group is not known: only what the soil cannot hold runs off")
		return nil
	}
	if drained, natural, ok := strings.Cut(group, "/"); ok {
		group = natural
		if soil.Tiled {
			group = drained
		}
	}
	curve, ok := b.c.Curve.of(group)
	if !ok {
		return fmt.Errorf("soil water: the hydrologic group %q is not known; write A, B, C or D, or two as B/D", soil.Hydrologic)
	}
	b.curve = curve
	return nil
}
