package page

import (
	"bytes"
	"crypto/sha256"
	_ "embed" // for the script and the styles
	"encoding/base64"
	"errors"
	"fmt"
	"html/template"
	"strings"

	"ratewright/geo/parallel"
)

//go:embed dist/page.js
var script string

//go:embed dist/page.css
var styles string

// listedPatches is how many patches the page lists; more is not read by anybody.
const listedPatches = 200

// paperPatches is how many of them go on paper, as the styles have it.
const paperPatches = 9

// HTML writes the page: one file that loads nothing, from the network or elsewhere,
// and whose policy forbids its own script to. Text of the sheet stands in it as text:
// markup is escaped, controls of writing direction are named as [U+202E], and what
// is longer than it can be shown is cut, and the whole opens at a tap. It fails if an
// outline, a stride or a figure of the map is not finite where the types say that
// it is. The same sheet gives the same bytes.
func (s Sheet) HTML() ([]byte, error) {
	s = s.lean()
	if s.Kind == Losses {
		return s.still()
	}
	var mapJSON, tracks []byte
	var v view
	var errs [2]error
	parts := []func(){
		func() { v = newView(s) },
		func() { mapJSON, errs[0] = packMap(s) },
		func() { tracks, errs[1] = packTracks(s.Map.Tracks) },
	}
	parallel.Each(len(parts), 0, func(i int) { parts[i]() })
	if err := errors.Join(errs[:]...); err != nil {
		return nil, err
	}
	style := inkStyles() + "\n" + styles
	if breaksOut(script) || breaksOut(style) {
		return nil, errors.New("page: the script or the styles would end their element")
	}
	var b bytes.Buffer
	b.Grow(len(mapJSON) + 4*len(tracks)/3 + len(script) + len(style) + 400_000)
	if err := v.write(&b, style, "; script-src "+hash(script)+"; img-src data:"); err != nil {
		return nil, err
	}
	b.WriteString("<script type=\"application/json\" id=\"map-data\">")
	b.Write(mapJSON)
	b.WriteString("</script>\n<script type=\"application/octet-stream\" id=\"track-data\">")
	b.Write(base64.StdEncoding.AppendEncode(b.AvailableBuffer(), tracks))
	b.WriteString("</script>\n<script>" + script + "</script>\n</body>\n</html>\n")
	return b.Bytes(), nil
}

// still writes a page that has nothing to explore: without a script.
func (s Sheet) still() ([]byte, error) {
	if _, err := packMap(s); err != nil { // which refuses what is not finite
		return nil, err
	}
	style := inkStyles() + "\n" + styles + courseStyles
	var b bytes.Buffer
	if err := newView(s).write(&b, style, ""); err != nil {
		return nil, err
	}
	b.WriteString("</body>\n</html>\n")
	return b.Bytes(), nil
}

// write writes a page up to the end of its text. Its policy allows the style alone, and
// what more adds.
func (v view) write(b *bytes.Buffer, style, more string) error {
	b.WriteString("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n" +
		`<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src ` + hash(style) +
		more + "; base-uri 'none'; form-action 'none'\">\n")
	if err := pageTemplate().ExecuteTemplate(b, "head", v); err != nil {
		return err
	}
	b.WriteString("<style>" + style + "</style>\n</head>\n")
	return pageTemplate().ExecuteTemplate(b, "body", v)
}

// hash names a script or a style for the policy.
func hash(s string) string {
	sum := sha256.Sum256([]byte(s))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

// breaksOut tells whether text would not stay within a script or style element, or be
// read otherwise than it is hashed: browsers turn CR into LF.
func breaksOut(s string) bool {
	s = strings.ToLower(s)
	return strings.ContainsAny(s, "\r\x00") || strings.Contains(s, "</script") || strings.Contains(s, "</style") || strings.Contains(s, "<!--")
}

// view is what the template is given.
type view struct {
	Sheet
	Picture   template.HTML
	PictureOf string
	LeftOut   []string
	Patches   []listed
	MorePatch int
	// PatchesOffPaper is how many patches are not listed on paper.
	PatchesOffPaper int
	AnyPatches      bool
	// NoPatches says why no patch is listed.
	NoPatches string
	Headline  string
}

// listed is a patch with its index in the map.
type listed struct {
	Index int
	Patch
	Mark  string
	Parts int // so many parts of it stand apart on the map
}

func newView(s Sheet) view {
	v := view{Sheet: s, Headline: "Prescription"}
	switch s.Kind {
	case Reconciliation:
		v.Headline = "What was applied"
	case Rates:
		v.Headline = "Rates and their reasons"
	case Plan:
		v.Headline = "Ways to apply the nitrogen"
	case Losses:
		v.Headline = "What becomes of the nitrogen"
	case Prescription:
	}
	v.PictureOf = "Map of " + short(s.Field) + ", north up: " + strings.ToLower(v.Headline)
	sc := picture(s)
	v.Picture = template.HTML(sc.svg(v.PictureOf)) // svg escapes every text
	v.LeftOut = sc.leftOut()
	v.AnyPatches = len(s.Map.Patches) > 0 || s.Kind == Reconciliation
	v.NoPatches = noPatches(s.Lead)
	marks := marksOf(s.Map)
	for _, i := range bySize(s.Map.Patches) {
		p := s.Map.Patches[i]
		v.Patches = append(v.Patches, listed{i, p, marks[i], len(p.Polygons)})
	}
	v.PatchesOffPaper = max(0, len(v.Patches)-paperPatches)
	v.MorePatch = max(0, len(v.Patches)-listedPatches)
	v.Patches = v.Patches[:len(v.Patches)-v.MorePatch]
	return v
}

// noPatches says why no patch is listed: there may be ground that was missed, all of it
// in pieces too small to walk to.
func noPatches(lead []Figure) string {
	for _, f := range lead {
		if f.Alarm {
			return "No patch is large enough to be listed; every figure counts the smaller ones."
		}
	}
	return "Nothing to look at."
}

// name returns text from a file as markup: escaped, in an element that keeps its
// writing direction to itself. What is long is cut; a tap or a key opens the whole.
func name(s string) template.HTML { return cut(s, shortText) }

func note(s string) template.HTML { return cut(s, longText) }

// brief is name within a control or a line, where nothing can be opened.
func brief(s string) template.HTML { return template.HTML(isolated(shown(s, shortText))) }

func cut(s string, limit int) template.HTML {
	text, whole := shown(s, limit), shown(s, fullText)
	if whole == text {
		return template.HTML(isolated(text))
	}
	return template.HTML(`<details class="cut"><summary><bdi>` + template.HTMLEscapeString(text) + `</bdi> <span class="shut">show all</span><span class="open">show less</span></summary><bdi>` +
		template.HTMLEscapeString(whole) + `</bdi></details>`)
}

// isolated is escaped text; only what may be written from right to left needs an
// element for it.
func isolated(text string) string {
	escaped := template.HTMLEscapeString(text)
	if strings.IndexFunc(text, func(r rune) bool { return r >= 0x590 }) < 0 {
		return escaped
	}
	return `<bdi>` + escaped + `</bdi>`
}

// ownHead tells whether the first column has a head that says more than the title of
// the table; where it does not, the title is its head.
func ownHead(t Table) bool {
	return len(t.Head) > 0 && t.Head[0] != "" && !strings.Contains(strings.ToLower(t.Title), strings.ToLower(t.Head[0]))
}

// says tells whether a row of a table says anything besides its name: on paper there
// is no room for what nobody knows.
func says(row []Cell) bool {
	for _, c := range row[min(1, len(row)):] {
		if c.Text != "" && c.Text != "-" {
			return true
		}
	}
	return len(row) < 2
}

// numeric tells whether a column of a table holds numbers.
func numeric(t Table, i int) bool { return i >= max(t.Words, 1) }

// unitOf returns the unit of a column of a table.
func unitOf(t Table, i int) string {
	if i < len(t.Units) {
		return t.Units[i]
	}
	return ""
}

// plain returns a key of the program's own, which may hold a name from a file.
func plain(s any) string { return shown(fmt.Sprint(s), fullText) }
