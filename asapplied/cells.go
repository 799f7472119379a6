package asapplied

// cells are the cells of one row: all in one text, with one byte between them.
// Positions rather than slices keep the garbage collector out of the splitting.
type cells struct {
	text []byte
	ends []int32 // where each cell ends in text
}

// at returns cell i. It is valid until the next row is read.
func (c *cells) at(i int) []byte {
	lo := int32(0)
	if i > 0 {
		lo = c.ends[i-1] + 1
	}
	hi := c.ends[i]
	return c.text[lo:hi:hi]
}

func (c *cells) len() int { return len(c.ends) }

// reset empties the row and keeps its memory for text that is not in a file's
// buffer.
func (c *cells) reset(own []byte) {
	c.text, c.ends = own[:0], c.ends[:0]
}

// add appends a cell to a row with text of its own.
func (c *cells) add(cell []byte) {
	c.text = append(c.text, cell...)
	c.close()
}

// close ends the cell that was appended to text.
func (c *cells) close() {
	c.ends = append(c.ends, int32(len(c.text)))
	c.text = append(c.text, 0)
}

// fit accepts a row with as many cells as the header, or with empty cells
// beyond: many programs end each line with a separator.
func (c *cells) fit(want int) bool {
	for c.len() > want && len(trim(c.at(c.len()-1))) == 0 {
		c.ends = c.ends[:len(c.ends)-1]
	}
	return c.len() == want
}

// are reports whether a row repeats the names of the columns.
func (c *cells) are(names []string) bool {
	for i, name := range names {
		if string(trim(c.at(i))) != name {
			return false
		}
	}
	return len(names) > 0
}

// blank reports whether all cells of a row are empty.
func (c *cells) blank() bool {
	for i := range c.len() {
		if len(trim(c.at(i))) > 0 {
			return false
		}
	}
	return true
}
