package page

// Title returns what the page calls a kind of finding.
func Title(kind string) string {
	f, _ := findingOf(kind)
	return f.Title
}
