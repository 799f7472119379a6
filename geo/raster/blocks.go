package raster

import (
	"fmt"
	"math"
)

// readBlocks reads where strips or tiles stand.
func (l *layout) readBlocks(d directory) error {
	_, tiles := d.fields[tagTileOffsets]
	_, strips := d.fields[tagStripOffsets]
	if tiles == strips {
		return d.f.fault("", "has neither strips nor tiles, or both", "export it again")
	}
	l.tiled = tiles
	at, count := uint16(tagStripOffsets), uint16(tagStripCounts)
	l.blockCols = l.cols
	var err error
	if tiles {
		at, count = tagTileOffsets, tagTileCounts
		if l.blockCols, err = d.side(tagTileCols, maxSide); err != nil {
			return err
		}
		if l.blockRows, err = d.side(tagTileRows, maxSide); err != nil {
			return err
		}
	} else {
		rows, err := d.one(tagRowsPerStrip, math.MaxUint32)
		if err != nil {
			return err
		}
		if rows < 1 {
			return d.f.fault(tagPlace(tagRowsPerStrip), "is 0", "export it again")
		}
		l.blockRows = int(min(rows, uint64(l.rows)))
	}
	if need := uint64(l.blockRows) * uint64(l.rowBytes()); need > maxBlock {
		return d.f.fault("", fmt.Sprintf("each of its strips or tiles takes %d MiB, more than %d", need>>20, maxBlock>>20), "write it in tiles of 256 by 256 pixels")
	}
	l.across, l.down = ceilDiv(l.cols, l.blockCols), ceilDiv(l.rows, l.blockRows)
	if l.offsets, err = l.ofBlocks(d, at); err != nil {
		return err
	}
	if l.counts, err = l.ofBlocks(d, count); err != nil {
		return err
	}
	return l.checkBlocks(d)
}

// ofBlocks reads a tag with one number for each block.
func (l *layout) ofBlocks(d directory, tag uint16) ([]uint64, error) {
	want := uint64(l.across) * uint64(l.down)
	if l.separate {
		want *= uint64(l.bands)
	}
	v, err := d.whole(tag, want)
	if err == nil && uint64(len(v)) != want {
		err = d.f.fault(tagPlace(tag), fmt.Sprintf("has %d values for %d strips or tiles", len(v), want), "copy or export it again")
	}
	return v, err
}

// checkBlocks refuses a block that does not lie in the file.
func (l *layout) checkBlocks(d directory) error {
	for i, n := range l.counts {
		if l.leftOut(i) {
			continue
		}
		if n == 0 || l.offsets[i] < 8 || !d.f.holds(l.offsets[i], n) {
			return d.f.fault(l.blockPlace(i), fmt.Sprintf("has %d bytes at %d in a file of %d", n, l.offsets[i], d.f.size), "copy or export it again")
		}
	}
	return nil
}

// leftOut reports whether the file does without a block.
func (l *layout) leftOut(i int) bool { return l.offsets[i] == 0 && l.counts[i] == 0 }

func (l *layout) blockPlace(i int) string {
	if l.tiled {
		return fmt.Sprintf("tile %d", i+1)
	}
	return fmt.Sprintf("strip %d", i+1)
}

// pixelSamples is how many numbers of a pixel stand side by side.
func (l *layout) pixelSamples() int {
	if l.separate {
		return 1
	}
	return l.bands
}

// rowBytes is the length of a row of a block.
func (l *layout) rowBytes() int { return l.blockCols * l.pixelSamples() * l.kind.bytes }

// blockOf returns the block with a pixel of a band, and the place of its number in it.
func (l *layout) blockOf(band, col, row int) (block, at int) {
	block = row/l.blockRows*l.across + col/l.blockCols
	at = (row%l.blockRows*l.blockCols + col%l.blockCols) * l.pixelSamples()
	if l.separate {
		return block + band*l.across*l.down, at
	}
	return block, at + band
}

// rowsOf is how many rows of the image a block holds. A tile has all its rows, those
// below the image too; the last strip only what is left.
func (l *layout) rowsOf(block int) int {
	if l.tiled {
		return l.blockRows
	}
	first := block % l.down * l.blockRows
	return min(l.blockRows, l.rows-first)
}

func ceilDiv(a, b int) int { return (a + b - 1) / b }
