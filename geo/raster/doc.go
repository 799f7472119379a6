// Package raster reads GeoTIFF images whose pixels are numbers, such as an index of
// residue cover or of vegetation.
//
// TIFF Revision 6.0 (Aldus/Adobe 1992), its technical notes on Deflate (2002) and on
// floating point numbers (no. 3, 2005), and OGC GeoTIFF 1.1 (OGC 19-008r4). [Open]
// reads the head of a file; pixels are read block by block as they are asked for, so
// that an image of a satellite takes no more memory than the ground looked at.
//
// # What is read
//
//   - Both byte orders, and files with offsets of 32 and of 64 bits (BigTIFF).
//   - Strips and tiles; bands pixel by pixel or one after another.
//   - Unsigned and signed integers of 8, 16 and 32 bits, floating point of 32 and 64.
//   - No compression, LZW, Deflate (8 and 32946) and PackBits; with LZW and Deflate the
//     predictors 1, 2 and 3.
//   - The first image of the file at its full size. Overviews are passed over; a second
//     image is named in a note.
//   - Values as they are stored: a scale and an offset that a file names are not applied.
//
// # What has no data
//
// Pixels equal to the text of tag 42113 (GDAL_NODATA, a convention that most programs
// keep), compared in the type of the pixel; pixels that are not finite; pixels whose
// alpha is 0; and blocks that the file leaves out. A mask kept as an image of its own is
// refused, for without it pixels that hold nothing would count.
//
// # Where a pixel lies
//
// By ModelPixelScale with one ModelTiepoint, or by ModelTransformation. A pixel is the
// square whose middle has the value: with PixelIsArea the coordinates of the file are
// those of its outer corner, with PixelIsPoint those of its middle. The coordinate
// system is named by its EPSG code; [crs.FromEPSG] says which are known. No datum shift
// is applied. Without a declared system coordinates in the range of degrees are WGS 84,
// with a note; others are refused unless [Options] names the system.
//
// # Limits
//
// Every count, offset and length is checked against the file before memory is taken for
// it. A side has at most 1,048,576 pixels, an image 1,024 bands and a block 256 MiB; a
// block that unpacks to more than its compression can is refused before it is unpacked.
// Every fault of a file is a [vector.InputError].
package raster
