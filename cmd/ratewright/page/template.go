package page

import (
	"html/template"
	"sync"
)

var pageTemplate = sync.OnceValue(func() *template.Template { return parsedTemplate(pageText) })

// parsedTemplate is the template of a kind of page with the parts that all have.
func parsedTemplate(text string) *template.Template {
	return template.Must(template.Must(template.New("page").Funcs(template.FuncMap{
		"name": name, "brief": brief, "ownHead": ownHead, "says": says, "note": note, "unitOf": unitOf, "numeric": numeric, "short": short, "plain": plain,
	}).Parse(partsText)).Parse(text))
}

// partsText are the parts of every kind of page.
const partsText = `{{define "head" -}}
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="referrer" content="no-referrer">
<title>{{template "title" .}}</title>
{{end}}

{{- define "lead"}}
{{- if .}}
<dl class="lead">
{{- range .}}
<div{{if .Alarm}} class="alarm"{{end}}><dt>{{name .Name}}</dt><dd{{if .Key}} data-key="{{plain .Key}}"{{end}}><span class="value">{{name .Value}}</span>{{if .Unit}} <span class="unit">{{name .Unit}}</span>{{end}}</dd>{{if .More}}<dd class="more">{{name .More}}</dd>{{end}}</div>
{{- end}}
</dl>
{{- end}}
{{- end}}

{{- define "notes"}}
{{- if .}}
<section id="notes" aria-labelledby="notes-title">
<h2 id="notes-title">Notes</h2>
<ul>{{range .}}<li>{{note .}}</li>
{{end}}</ul>
</section>
{{- end}}
{{- end}}

{{- define "cautions"}}
{{- if .}}
<section id="cautions" aria-labelledby="cautions-title">
<h2 id="cautions-title">Cautions</h2>
<ul>{{range .}}<li>{{note .}}</li>
{{end}}</ul>
</section>
{{- end}}
{{- end}}`

// pageText is the page but for what html.go writes itself. Ids, data-key, data-patch
// and the order of things are a contract with web/.
const pageText = `{{define "title"}}{{short .Field}}: {{short .Subject}}{{end}}

{{- define "body" -}}
<body data-kind="{{plain .Kind}}">
<header>
<p class="kind">{{.Headline}}</p>
<h1>{{name .Field}}</h1>
<div class="subject">{{name .Subject}}{{if .Date}} <span class="date">{{brief .Date}}</span>{{end}}{{if .Ground}} <span class="date">{{brief .Ground}}</span>{{end}}</div>
{{- template "lead" .Lead}}
</header>
<main>
<figure id="picture">
{{.Picture}}
<figcaption>To scale, north up.{{range .LeftOut}} {{.}}{{end}}</figcaption>
</figure>
<div id="layers"></div>
<p id="spot" role="status" aria-live="polite"></p>
<section id="found" aria-labelledby="found-title"{{if not .AnyPatches}} hidden{{end}}>
<h2 id="found-title">Found on the ground</h2>
{{- if not .Patches}}
<p class="none">{{.NoPatches}}</p>
{{- end}}
<ol>
{{- range .Patches}}
<li data-kind="{{plain .Kind}}" data-area-m2="{{printf "%.3f" .AreaM2}}" data-short-kg="{{printf "%.3f" .ShortKg}}"><button type="button" data-patch="{{.Index}}"><span class="letter">{{.Mark}}</span> <span class="title">{{brief .Title}}</span> <span class="area">{{brief .Area}}</span>{{if gt .Parts 1}} <span class="n">in {{.Parts}} parts</span>{{end}}
{{- if and .Short (gt .ShortKg 0.0)}} <span class="short">{{brief .Short}} short</span>{{end}}
{{- if .N}} <span class="n">{{brief .N}} applied</span>{{end}}
{{- if .Zone}} <span class="zone">zone {{brief .Zone}}</span>{{end}}</button></li>
{{- end}}
</ol>
{{- if .MorePatch}}
<p class="more">{{.MorePatch}} smaller ones are not listed here; every figure counts them.</p>
{{- end}}
{{- with .PatchesOffPaper}}
<p class="paper">and {{.}} more: see the page and the file of patches</p>
{{- end}}
</section>
{{- with .Chart}}{{if .SVG}}
<section id="curve" aria-labelledby="curve-title">
<h2 id="curve-title">{{name .Title}}</h2>
{{.SVG}}
{{- if .StretchWords}}
<p>{{note .StretchWords}}</p>
{{- end}}
</section>
{{- end}}{{end}}
{{- if .Courses}}
<div class="courses{{if eq .CoursesOnPaper 1}} one{{end}}">
{{- range $i, $c := .Courses}}{{if .SVG}}
<section class="course{{if .OffPaper}} off{{end}}" aria-labelledby="course-{{$i}}">
<h2 id="course-{{$i}}">{{name .Title}}</h2>
{{.SVG}}
<ul class="course-key">
{{- range .Key}}
<li><span class="c-{{.Ink}}" aria-hidden="true"></span>{{name .Words}}</li>
{{- end}}
</ul>
</section>
{{- end}}{{end}}
</div>
{{- end}}
{{- if .Warnings}}
<section id="warnings" aria-labelledby="warnings-title">
<h2 id="warnings-title">Before the trip</h2>
<ul>{{range $i, $w := .Warnings}}<li{{if $.OffPaperWarning $i}} class="off"{{end}}>{{note $w}}</li>
{{end}}</ul>
{{- with .WarningsBeyond}}
<p class="paper">and {{.}} more: see the page{{with $.Rest}} or {{.}}{{end}}</p>
{{- end}}
</section>
{{- end}}
{{- if .Tables}}
<section id="summary" aria-labelledby="summary-title">
<h2 id="summary-title">Summary</h2>
{{- if .Found}}
<ul class="says">{{range .Found}}<li>{{note .}}</li>
{{end}}</ul>
{{- end}}
{{- range $t := .Tables}}
<div class="wide{{if gt .Words 1}} words{{end}}{{if .OffPaper}} off{{end}}" role="region" tabindex="0" aria-label="{{short .Title}}"><table>
{{if ownHead .}}<caption>{{name .Title}}</caption>
{{end}}<thead><tr>{{range $i, $h := .Head}}<th scope="col"{{if numeric $t $i}} class="num"{{end}}>{{if or $i (ownHead $t)}}{{name $h}}{{else}}{{name $t.Title}}{{end}}{{with unitOf $t $i}} <span class="unit">{{name .}}</span>{{end}}</th>{{end}}</tr></thead>
<tbody>
{{- range $r, $row := .Rows}}
<tr{{if $t.OffPaperRow $r}} class="off"{{else if says $row}}{{else}} class="blank"{{end}}>{{range $i, $c := $row}}{{if $i}}<td{{if numeric $t $i}} class="num"{{end}}{{if $c.Key}} data-key="{{plain $c.Key}}"{{end}}>{{if numeric $t $i}}{{name $c.Text}}{{else}}{{note $c.Text}}{{end}}</td>{{else}}<th scope="row"{{if $c.Key}} data-key="{{plain $c.Key}}"{{end}}>{{name $c.Text}}</th>{{end}}{{end}}</tr>
{{- if $t.LastOnPaper $r}}
<tr class="paper"><td colspan="{{len $t.Head}}">and {{$t.Beyond}} more: see {{with $t.Rest}}{{.}}{{else}}the page{{end}}</td></tr>
{{- end}}
{{- end}}
</tbody>
</table></div>
{{- end}}
</section>
{{- end}}
{{- template "notes" .Notes}}
{{- template "cautions" .Cautions}}
{{- if .Inputs}}
<section id="inputs" aria-labelledby="inputs-title">
<h2 id="inputs-title">Made from</h2>
<div class="wide" role="region" tabindex="0" aria-label="Files and their sums"><table>
<thead><tr><th scope="col">file</th><th scope="col">SHA-256</th></tr></thead>
<tbody>
{{- range .Inputs}}
<tr><th scope="row">{{name .Name}}</th><td><code>{{name .SHA256}}</code></td></tr>
{{- end}}
</tbody>
</table></div>
</section>
{{- end}}
</main>
<footer><p>{{name .Program}}</p>{{with .LeftOffPaper}}<p class="paper">{{.}}</p>{{end}}</footer>
{{end}}`
