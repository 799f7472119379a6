package job

// fieldNotes are the notes of the fields of a plan, each once: one that not all fields
// share names those that it is of.
func fieldNotes(fields []plannedField) []string {
	of := map[string][]string{}
	var order []string
	for _, f := range fields {
		for _, n := range f.notes {
			if of[n] == nil {
				order = append(order, n)
			}
			of[n] = append(of[n], f.name)
		}
	}
	for i, n := range order {
		if names := of[n]; len(names) < len(fields) {
			order[i] = "on " + namesInShort(names) + ": " + n
		}
	}
	return order
}
