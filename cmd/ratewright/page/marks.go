package page

import (
	"slices"
	"strconv"
)

// marksOf are the marks of patches on the map and in the list: the letter of their
// kind and their place among those of that kind, the largest first. All parts of a
// patch have its mark, so that on paper, too, one finds what the list names.
func marksOf(m Map) []string {
	marks, ofKind := make([]string, len(m.Patches)), map[string]int{}
	for _, i := range bySize(m.Patches) {
		f, _ := findingOf(m.Patches[i].Kind)
		ofKind[f.Letter]++
		marks[i] = f.Letter + strconv.Itoa(ofKind[f.Letter])
	}
	return marks
}

// bySize are the places of patches, those of the largest first.
func bySize(patches []Patch) []int {
	order := make([]int, len(patches))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case patches[a].AreaM2 > patches[b].AreaM2:
			return -1
		case patches[a].AreaM2 < patches[b].AreaM2:
			return 1
		}
		return 0
	})
	return order
}
