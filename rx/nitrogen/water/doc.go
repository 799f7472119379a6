// Package water keeps a daily balance of the water in the top of a soil: what
// arrives, runs off, evaporates and drains, whether the soil stands saturated, and
// how moist its surface is. The losses of nitrogen are reckoned from it.
//
// The rule. One bucket, 60 cm deep, holds water between wilting point, field
// capacity and saturation by the soil's texture group. Each day, in this order:
//
//  1. Rain arrives; at a mean temperature at or below 0 °C it lies as snow, which
//     melts by the degree-day rule.
//  2. Where the hydrologic group is known, a part of it runs off by the curve
//     number; what would fill the bucket beyond saturation runs off in any case.
//  3. Of the water above field capacity a share drains, by the drainage class.
//  4. Reference evapotranspiration (Hargreaves & Samani 1985, with the
//     extraterrestrial radiation of FAO-56 equations 21 to 25) times a crop
//     coefficient leaves, less where the soil is dry (FAO-56 equation 84).
//
// A day is saturated where at its end more than three tenths of the pores between field
// capacity and saturation hold water. The surface is moist where at least 2 mm came
// in three days or the bucket is near field capacity; then it dries evenly over five
// days.
//
// Its error. Hargreaves & Samani's reference is off by some 10 to 15 % over a week
// and more on windy or humid days (from memory). The daily rain of a station some
// miles off is often wrong by half in a storm. The shares that drain are our own
// reading of the drainage classes, right within a factor of two at best, and no
// water table, no layer that holds water up and no neighbour's water is known here:
// days of saturation in a low spot are too few. What drains passes 60 cm, and deep
// roots may bring some of it back. Count saturated days as "about 5" may mean 2 or
// 10; run Low, Mid and High.
package water
