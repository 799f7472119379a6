package rx

import (
	"fmt"
	"strings"
)

// IDMatch finds ids of one list in another. Ids are text. Where every id of
// both lists is a [PlainNumber] they are compared by value, so that "3" of a job
// file finds "3.0" of a table; [IDMatch.Note] then says so.
type IDMatch struct {
	index   map[string]int
	numeric map[string]int // by the form of the number
	note    string
}

// NewIDMatch prepares the look-up of ids of right. Every id that will be asked
// for is in left. An id that occurs twice in right, as text or by value, is an
// error.
func NewIDMatch(left, right []string) (IDMatch, error) {
	m := IDMatch{index: make(map[string]int, len(right))}
	for i, id := range right {
		key := strings.TrimSpace(id)
		if _, twice := m.index[key]; twice {
			return IDMatch{}, fmt.Errorf("id %q is given twice; keep one", key)
		}
		m.index[key] = i
	}
	leftNumbers, ok := numbersOf(left)
	if !ok || len(left) == 0 {
		return m, nil
	}
	rightNumbers, ok := numbersOf(right)
	if !ok {
		return m, nil
	}
	m.numeric = make(map[string]int, len(right))
	for i, v := range rightNumbers {
		if j, twice := m.numeric[v]; twice {
			return IDMatch{}, fmt.Errorf("ids %q and %q are the same number; keep one", right[j], right[i])
		}
		m.numeric[v] = i
	}
	m.note = m.noteByValue(left, leftNumbers)
	return m, nil
}

// noteByValue tells of the first pair that agrees by value and not as text.
func (m IDMatch) noteByValue(left []string, numbers []string) string {
	for i, id := range left {
		if _, same := m.index[strings.TrimSpace(id)]; same {
			continue
		}
		if _, found := m.numeric[numbers[i]]; found {
			return fmt.Sprintf("every zone id is a number, so ids were compared by value (%q is written otherwise on the other side)", strings.TrimSpace(id))
		}
	}
	return ""
}

// Find returns the place of id in the right-hand list.
func (m IDMatch) Find(id string) (int, bool) {
	id = strings.TrimSpace(id)
	if i, ok := m.index[id]; ok {
		return i, true
	}
	if m.numeric == nil {
		return 0, false
	}
	form, ok := PlainNumber(id)
	if !ok {
		return 0, false
	}
	i, ok := m.numeric[form]
	return i, ok
}

// Note says that ids were compared by value where that made a difference;
// otherwise it is empty.
func (m IDMatch) Note() string { return m.note }

func numbersOf(ids []string) ([]string, bool) {
	out := make([]string, len(ids))
	for i, id := range ids {
		form, ok := PlainNumber(id)
		if !ok {
			return nil, false
		}
		out[i] = form
	}
	return out, true
}
