package job

import (
	"fmt"
	"strings"
)

// zonesNamed is "zone A" or "zones A, B".
func zonesNamed(ids []string) string {
	word := "zones "
	if len(ids) == 1 {
		word = "zone "
	}
	return word + strings.Join(ids, ", ")
}

// fewZones are named one by one where there is little room.
const fewZones = 4

// zonesInShort is zonesNamed that names the first of many zones and counts the others.
func zonesInShort(ids []string) string {
	if len(ids) == 1 {
		return zonesNamed(ids)
	}
	return "zones " + namesInShort(ids)
}

// namesInShort names the first of many and counts the others.
func namesInShort(names []string) string {
	if len(names) <= fewZones+1 {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:fewZones], ", "), len(names)-fewZones)
}
