package page

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func htmlOf(t testing.TB, s Sheet) string {
	t.Helper()
	b, err := s.HTML()
	require.NoError(t, err)
	return string(b)
}

// element returns what stands in the element that an opening tag begins.
func element(t testing.TB, html, open, end string) string {
	t.Helper()
	_, rest, ok := strings.Cut(html, open)
	require.True(t, ok, "no %s", open)
	inner, _, ok := strings.Cut(rest, end)
	require.True(t, ok, "%s does not end", open)
	return inner
}

// markup is the page without what its scripts and styles hold.
func markup(html string) string {
	html = regexp.MustCompile(`(?s)(<script[^>]*>).*?(</script>)`).ReplaceAllString(html, "$1$2")
	return regexp.MustCompile(`(?s)(<style>).*?(</style>)`).ReplaceAllString(html, "$1$2")
}

// elements returns all elements of a page, which has to be as well-formed as XML but
// for elements that have no end.
func elements(t testing.TB, html string) (all []xml.StartElement) {
	t.Helper()
	html = regexp.MustCompile(`(<meta [^>]*)>`).ReplaceAllString(html, "$1/>")
	html = strings.ReplaceAll(html, " hidden>", ` hidden="">`)
	d := xml.NewDecoder(strings.NewReader(html))
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return all
		}
		require.NoError(t, err)
		if e, ok := tok.(xml.StartElement); ok {
			all = append(all, e.Copy())
		}
	}
}

func TestPolicyNamesTheScriptAndTheStylesAndNothingElse(t *testing.T) {
	html := htmlOf(t, sample(50))
	head := element(t, html, "<head>\n<meta charset=\"utf-8\">\n<meta http-equiv=\"Content-Security-Policy\" content=\"", "\"")
	of := func(s string) string {
		sum := sha256.Sum256([]byte(s))
		return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	assert.Equal(t, "default-src 'none'; style-src "+of(element(t, html, "<style>", "</style>"))+
		"; script-src "+of(element(t, html, "<script>", "</script>"))+
		"; img-src data:; base-uri 'none'; form-action 'none'", head)
	assert.Equal(t, script, element(t, html, "<script>", "</script>"))
	assert.Contains(t, element(t, html, "<style>", "</style>"), styles)
	m := markup(html)
	assert.NotRegexp(t, `\sstyle=`, m)
	assert.NotRegexp(t, `<[^>]*\son[a-z]+=`, m)
	assert.NotRegexp(t, `(src|href|action|srcset)=`, m)
	assert.NotContains(t, m, "http:")
	assert.NotContains(t, m, "https:")
	assert.False(t, breaksOut(script) || breaksOut(styles))
}

func TestThePageIsWellFormed(t *testing.T) {
	html := markup(htmlOf(t, sample(50)))
	var order, headings []string
	ids := map[string]bool{}
	for _, e := range elements(t, html) {
		if regexp.MustCompile(`^h\d$`).MatchString(e.Name.Local) {
			headings = append(headings, e.Name.Local)
		}
		for _, a := range e.Attr {
			if a.Name.Local == "id" {
				assert.False(t, ids[a.Value], "two are called %s", a.Value)
				ids[a.Value] = true
				order = append(order, a.Value)
			}
		}
	}
	assert.Equal(t, []string{"h1", "h2", "h2", "h2", "h2", "h2"}, headings)
	last := -1
	for _, id := range []string{"picture", "still", "layers", "spot", "found", "summary", "notes", "cautions", "inputs", "map-data", "track-data"} {
		at := -1
		for i, o := range order {
			if o == id {
				at = i
			}
		}
		require.Greater(t, at, last, "%s stands in its place", id)
		last = at
	}
	assert.Contains(t, html, `<dd data-key="area_m2.missed"><span class="value">3.41</span> <span class="unit">ac</span></dd>`)
	assert.Contains(t, html, `<td class="num" data-key="zones.A.area_m2">93.1</td>`)
	assert.Contains(t, html, `<html lang="en">`)
	for _, landmark := range []string{"<header>", "<main>", "<footer>"} {
		assert.Equal(t, 1, strings.Count(html, landmark))
	}
	assert.Contains(t, html, "Follow the label &amp; the law.")
}

func TestMapDataIsWhatTheSheetHolds(t *testing.T) {
	s := sample(50)
	s.Map.Zones = append(s.Map.Zones, Zone{ID: "</script><script>alert(1)</script>\u2028", Rate: math.NaN()})
	raw := element(t, htmlOf(t, s), `<script type="application/json" id="map-data">`, "</script>")
	assert.NotRegexp(t, "[<>&\u2028\u2029]", raw)
	assert.NotContains(t, raw, "NaN")
	var d struct {
		Boundary [][][]int64
		Zones    []struct {
			ID       string
			Rate     *float64
			Polygons [][][]int64
		}
		Patches []struct {
			Kind   string
			AreaM2 float64
		}
		Ramp  struct{ Light, Dark []string }
		Kinds map[string]finding
	}
	require.NoError(t, json.Unmarshal([]byte(raw), &d))
	assert.Equal(t, [][][]int64{{{-40000, -39000, 80000, 0, 0, 64000, -7000, 14000, -73000, 0}}}, d.Boundary)
	require.Len(t, d.Zones, 4)
	assert.InDelta(t, 150, *d.Zones[0].Rate, 0)
	assert.Nil(t, d.Zones[3].Rate)
	assert.Equal(t, "</script><script>alert(1)</script>[U+2028]", d.Zones[3].ID)
	assert.Len(t, d.Patches, len(s.Map.Patches))
	assert.Len(t, d.Ramp.Light, rampSteps)
	assert.Len(t, d.Ramp.Dark, rampSteps)
	for _, p := range d.Patches {
		assert.Contains(t, d.Kinds, p.Kind)
	}
	packed, err := base64.StdEncoding.DecodeString(element(t, htmlOf(t, s), `<script type="application/octet-stream" id="track-data">`, "</script>"))
	require.NoError(t, err)
	strides, _ := unpack(t, packed)
	assert.Len(t, strides, 50)
}

const hostile = "<script>alert('x')</script><img src=x onerror=alert(1)>\"'&`{{.}}]]>--><!--\u202egnp.exe\u2066\u200f\x00\x1b[2J\u2028\xff"

func hostileSheet() Sheet {
	long := strings.Repeat("long<b>", 1500)
	s := sample(30)
	s.Field, s.Subject, s.Date, s.Program = hostile, long, hostile, hostile
	s.Lead = []Figure{{hostile, hostile, long, hostile, true, hostile}}
	s.Ground = hostile
	s.Tables = []Table{{Title: hostile, Head: []string{hostile, long}, Units: []string{hostile}, Rows: [][]Cell{{{hostile, hostile}, {long, hostile}, {hostile, ""}}, {}}}}
	s.Notes, s.Cautions, s.Inputs = []string{hostile, long}, []string{hostile}, []Input{{long, hostile}}
	s.Map.RateUnit, s.Map.DepthUnit = hostile, hostile
	for i := range s.Map.Zones {
		z := &s.Map.Zones[i]
		z.ID, z.Label, z.Why = hostile, hostile, []string{hostile, long}
	}
	for i := range s.Map.Patches {
		p := &s.Map.Patches[i]
		p.Title, p.Zone, p.Area, p.N, p.Short = hostile, long, hostile, hostile, hostile
	}
	s.Map.Patches = append(s.Map.Patches, Patch{Kind: hostile, Title: long, Polygons: orb.MultiPolygon{box(0, 0, 50, 50)}})
	s.Map.OffLimits[0].Name = hostile
	s.Map.Tracks.Add(long, Stride{})
	s.Kind = hostile
	return s
}

func TestNamesFromFilesAreText(t *testing.T) {
	s := hostileSheet()
	html := htmlOf(t, s)
	plain := htmlOf(t, sample(30))
	tags := func(html string) map[string]int {
		n := map[string]int{}
		for _, tag := range regexp.MustCompile(`<(script|img|b|style|iframe|!--)\b`).FindAllString(html, -1) {
			n[tag]++
		}
		return n
	}
	assert.Equal(t, tags(plain), tags(html), "markup leaks")
	for _, r := range "\u202e\u2066\u200f\x00\x1b\u2028" {
		assert.False(t, strings.ContainsRune(html, r), "%U", r)
	}
	assert.Contains(t, html, "[U+202E]gnp.exe[U+2066]")
	for _, e := range elements(t, markup(html)) {
		for _, a := range e.Attr {
			assert.NotRegexp(t, `^(on.*|style|src|href)$`, a.Name.Local, "of %s", e.Name.Local)
		}
	}
	require.NoError(t, s.PNG(io.Discard))
}

// TestLongTextIsCutAndOpens at a tap or a key: a title on hover would be out of reach.
func TestLongTextIsCutAndOpens(t *testing.T) {
	whole := strings.Repeat("ä<", 5000)
	got := string(name(whole))
	shownPart := element(t, got, "<summary><bdi>", "</bdi> <span")
	assert.Equal(t, strings.Repeat("ä&lt;", shortText/2)+"…", shownPart)
	assert.Contains(t, got, `</summary><bdi>`+strings.Repeat("ä&lt;", 5000)+`</bdi></details>`)
	assert.NotContains(t, string(brief(whole)), "<details", "a control holds no other")
	assert.Equal(t, "Straße 5", string(name("Straße 5")))
	assert.Equal(t, "<bdi>שדה</bdi>", string(name("שדה")))
	assert.Equal(t, "a b [U+0007]\ufffd", shown("a\tb \a\xff", 9))
}

func TestTheSameSheetGivesTheSameBytes(t *testing.T) {
	for _, s := range []Sheet{sample(2000), hostileSheet(), {}} {
		assert.Equal(t, htmlOf(t, s), htmlOf(t, s))
		var a, b bytes.Buffer
		require.NoError(t, s.PNG(&a))
		require.NoError(t, s.PNG(&b))
		assert.Equal(t, a.Bytes(), b.Bytes())
	}
}

func TestAtMost200PatchesAreListed(t *testing.T) {
	s := sample(0)
	for len(s.Map.Patches) < 230 {
		s.Map.Patches = append(s.Map.Patches, s.Map.Patches[0])
	}
	s.Map.Patches[229].AreaM2 = 1e6
	html := htmlOf(t, s)
	assert.Equal(t, 200, strings.Count(html, "<li data-kind="))
	assert.Contains(t, html, "30 smaller ones are not listed here")
	assert.Equal(t, "\n<li data-kind=\"missed\" data-area-m2=\"1000000.000\" data-short-kg=\"54.000\"><button type=\"button\" data-patch=\"229\">",
		element(t, html, "<ol>", "<span"))
	s.Map.Patches, s.Kind = nil, Prescription
	assert.Equal(t, "hidden", element(t, htmlOf(t, s), `<section id="found" aria-labelledby="found-title" `, ">"))
}

func TestWhatIsNotFiniteIsRefused(t *testing.T) {
	for name, spoil := range map[string]func(*Sheet){
		"boundary": func(s *Sheet) { s.Map.Boundary[0][0][1][0] = math.NaN() },
		"patch":    func(s *Sheet) { s.Map.Patches[0].Polygons[0][0][0] = orb.Point{math.Inf(1), 0} },
		"area":     func(s *Sheet) { s.Map.Patches[0].AreaM2 = math.NaN() },
		"rate":     func(s *Sheet) { s.Map.Zones[0].Rate = math.Inf(1) },
		"end":      func(s *Sheet) { s.Map.HighRate = math.NaN() },
		"stride":   func(s *Sheet) { s.Map.Tracks = one(Stride{}, Stride{To: math.NaN()}) },
	} {
		s := sample(9)
		spoil(&s)
		_, err := s.HTML()
		assert.Error(t, err, name)
		sc := picture(s)
		assert.False(t, bytes.Contains(sc.svg("x"), []byte("NaN")), name)
	}
}

// TestNoPatchIsNotNothing: missed ground in pieces too small to list is no clean field.
func TestNoPatchIsNotNothing(t *testing.T) {
	require.Equal(t, "Nothing to look at.", noPatches([]Figure{{Name: "missed", Value: "0.00"}}))
	require.Contains(t, noPatches([]Figure{{Name: "missed", Value: "0.65", Alarm: true}}), "No patch is large enough to be listed")
}

// TestLongTextOffersOnce: its words stand in the page, none in the styles.
func TestLongTextOffersOnce(t *testing.T) {
	require.NotContains(t, styles, "show all")
	require.NotContains(t, styles, "show less")
	require.Contains(t, styles, "#found button:focus-visible")
}
