package page

import (
	"bytes"
	"html/template"
	"sync"
)

// Season is what the page of many fields says: which needs a look first.
type Season struct {
	Title    string
	Lead     []Figure
	Totals   []Figure      // sums over the fields
	Fields   []SeasonField // in the order in which they need attention
	Order    string        // says what that order is
	Notes    []string
	Cautions []string
	Program  string
}

// SeasonField is an application of a field.
type SeasonField struct {
	Field string
	About string // application, job and state
	// Why says what is to be looked at, a line each; Alarm that something is.
	Why   []string
	Alarm bool
	Card  Card
	// Link is the address of its page from this one; "" for none.
	Link string
}

// pictured is how many fields have a picture: nobody looks at more, and the page
// stays below some 2 MB.
const pictured = 300

// HTML writes the page: one file without a script that loads nothing. Text from
// files stands in it as text, as on the page of a sheet.
func (s Season) HTML() ([]byte, error) {
	style := seasonInks() + "\n" + styles + seasonStyles
	var b bytes.Buffer
	b.WriteString("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n" +
		`<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src ` + hash(style) +
		"; base-uri 'none'; form-action 'none'\">\n")
	type entry struct {
		SeasonField
		Picture template.HTML
	}
	view := struct {
		Season
		Entries []entry
	}{Season: s}
	for i, f := range s.Fields {
		e := entry{SeasonField: f}
		if i < pictured && len(f.Card.Picture) > 0 {
			e.Picture = template.HTML(f.Card.svg()) //nolint:gosec // svg writes numbers and names of ours
		}
		view.Entries = append(view.Entries, e)
	}
	if err := seasonTemplate().ExecuteTemplate(&b, "head", view); err != nil {
		return nil, err
	}
	b.WriteString("<style>" + style + "</style>\n</head>\n")
	if err := seasonTemplate().ExecuteTemplate(&b, "body", view); err != nil {
		return nil, err
	}
	b.WriteString("</body>\n</html>\n")
	return b.Bytes(), nil
}

// seasonInks are the colours of the small pictures in the dark theme.
func seasonInks() string {
	return string(bytes.ReplaceAll([]byte(inkStyles()), []byte("#still"), []byte(".small")))
}

const seasonStyles = `
.fields{list-style:none;margin:1rem 0 0;padding:0}
.fields>li{display:grid;grid-template-columns:minmax(7rem,15rem) minmax(0,1fr);gap:.5rem 1.25rem;padding:1rem 0;border-top:1px solid var(--hair);break-inside:avoid}
.fields>li>div{grid-column:2}
.fields h3{margin:0;font-size:1.2rem}
.fields .about{margin:.15rem 0;color:var(--quiet)}
.fields ul{margin:.35rem 0;padding-left:1.1rem}
.fields .alarm>div>ul{color:var(--alarm)}
.fields .lead{margin:.5rem 0 0;gap:.4rem 1.25rem;grid-template-columns:repeat(auto-fit,minmax(min(7.5rem,100%),1fr))}
.fields .lead>div{border-top-width:1px}
.fields .lead dd:not(.more){font-size:1.25rem}
.fields .lead dt{font-size:.85rem}
#totals .lead{gap:.5rem 1rem;margin:.5rem 0 0}
#totals .lead>div{border-top-width:1px}
#totals .lead dd:not(.more){font-size:1.35rem}
.small{display:block;width:100%;height:auto}
@media(max-width:30rem){#totals .lead{display:block}
#totals .lead>div{flex-flow:row wrap;justify-content:space-between;align-items:baseline;gap:0 .75rem;border-top-color:var(--hair);padding:.15rem 0}
#totals .lead dd:not(.more){font-size:1.1rem}#totals .lead .more{flex-basis:100%;text-align:right}
.fields>li{grid-template-columns:minmax(0,1fr)}.fields>li>div{grid-column:1}.small{max-width:13rem}}
@media print{.fields{margin:.3rem 0 0}.fields>li{grid-template-columns:23mm minmax(0,1fr);padding:1.2mm 0}.fields h3{font-size:1.1rem}
.fields h3,.fields .about{display:inline-block;margin:0 1rem 0 0}.fields ul{margin:.1rem 0}.fields .lead{margin:.1rem 0 0}}
`

var seasonTemplate = sync.OnceValue(func() *template.Template { return parsedTemplate(seasonText) })

const seasonText = `{{define "title"}}{{short .Title}}{{end}}

{{- define "body" -}}
<body data-kind="season">
<header>
<p class="kind">Season</p>
<h1>{{name .Title}}</h1>
{{- template "lead" .Lead}}
</header>
<main>
{{- if .Totals}}
<section id="totals" aria-labelledby="totals-title">
<h2 id="totals-title">In all</h2>
{{- template "lead" .Totals}}
</section>
{{- end}}
<h2>Field by field</h2>
<p>{{note .Order}}</p>
<ol class="fields">
{{- range .Entries}}
<li{{if .Alarm}} class="alarm"{{end}}>
{{- if .Picture}}{{if .Link}}<a href="{{.Link}}" tabindex="-1" aria-hidden="true">{{.Picture}}</a>{{else}}{{.Picture}}{{end}}{{end}}
<div><h3>{{if .Link}}<a href="{{.Link}}">{{brief .Field}}</a>{{else}}{{name .Field}}{{end}}</h3>
<div class="about">{{name .About}}</div>
{{- if .Why}}
<ul>{{range .Why}}<li>{{note .}}</li>{{end}}</ul>
{{- end}}
{{- template "lead" .Card.Figures}}
</div></li>
{{- end}}
</ol>
{{- template "notes" .Notes}}
{{- template "cautions" .Cautions}}
</main>
<footer><p>{{name .Program}}</p></footer>
{{end}}`
