package job

import "strings"

// nearest returns the known word that takes the fewest edits (a letter put in,
// left out, changed, or exchanged with its neighbour) to become the given one.
// Capitals, dashes and blanks do not count. Of equals the first is taken.
func nearest(word string, known []string) string {
	best, bestEdits := "", -1
	for _, k := range known {
		if e := edits(plain(word), plain(k)); bestEdits < 0 || e < bestEdits {
			best, bestEdits = k, e
		}
	}
	return best
}

func plain(s string) []rune {
	return []rune(strings.NewReplacer("-", "_", " ", "_").Replace(strings.ToLower(s)))
}

// edits is the optimal string alignment distance of Damerau and Levenshtein.
func edits(a, b []rune) int {
	before, last := []int(nil), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row := make([]int, len(b)+1)
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last = last, row
	}
	return last[len(b)]
}
