package vector

// Short is a name as an error or a note says it, such as a zone's id or a source's label:
// one of more than 40 letters is cut.
func Short(name string) string {
	const most = 40
	if letters := []rune(name); len(letters) > most {
		return string(letters[:most-3]) + "..."
	}
	return name
}
