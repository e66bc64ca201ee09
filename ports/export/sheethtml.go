package export

import (
	"bytes"
	"fmt"
	"html/template"
	"strings"

	"pappus/desk/papers"
)

// Paper is what a sheet is printed on.
type Paper string

// The papers there are.
const (
	A4     Paper = "a4"
	Letter Paper = "letter"
)

// cssName is how a style sheet calls the paper.
func (p Paper) cssName() string {
	if p == Letter {
		return "letter"
	}
	return "A4"
}

// SheetHTML prints a sheet as one page that fetches nothing and runs nothing:
// for a telephone, for a laptop, and for a printer with the paper given.
func SheetHTML(s *papers.Sheet, paper Paper) ([]byte, error) {
	var b bytes.Buffer
	err := sheetPage.Execute(&b, struct {
		*papers.Sheet
		Paper string
	}{s, paper.cssName()})
	if err != nil {
		return nil, fmt.Errorf("the sheet %q as HTML: %w", s.Name, err)
	}
	return b.Bytes(), nil
}

// svgOf draws a code as one path.
func svgOf(f *papers.Figure) (template.HTML, error) {
	c, err := code(f)
	if err != nil {
		return "", err
	}
	var path strings.Builder
	for y := range c.Size {
		for x := range c.Size {
			if c.Black(x, y) {
				fmt.Fprintf(&path, "M%d %dh1v1h-1z", x+quiet, y+quiet)
			}
		}
	}
	side := c.Size + 2*quiet
	// Numbers and letters of ours alone: nothing of the file goes in here.
	return template.HTML(fmt.Sprintf(`<svg viewBox="0 0 %d %d" shape-rendering="crispEdges" aria-hidden="true"><path fill="#fff" d="M0 0h%dv%dH0z"/><path fill="#000" d="%s"/></svg>`, side, side, side, side, path.String())), nil
}

var sheetPage = template.Must(template.New("sheet").Funcs(template.FuncMap{
	"svg": svgOf, "join": strings.Join,
	"css": func(text string) template.CSS { return template.CSS(text) },
}).Parse(sheetTemplate))

const sheetTemplate = `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="pappus-stamp" content="{{.Stamp}}">
<title>{{.Title}}{{with .Stamp.Flight}}: {{.}}{{end}}</title>
<style>` + sheetStyle + `
@page { size: {{css .Paper}}; margin: 15mm; }
</style>
</head>
<body>
<header>
<h1>{{.Title}}{{with .Stamp.Flight}}: {{.}}{{end}}</h1>
<p>For {{.For}}.</p>
</header>
<main>
{{range .Parts}}<section{{if .Large}} class="large"{{end}}>
{{with .Heading}}<h2>{{.}}</h2>
{{end}}{{range .Cautions}}<p class="caution"><strong>Take care.</strong> {{.}}</p>
{{end}}{{with .Lead}}<p>{{.}}</p>
{{end}}{{if .Rows}}<dl>
{{range .Rows}}<div><dt>{{.Label}}</dt><dd{{if .Blank}} class="blank"{{end}}>{{.Text}}</dd></div>
{{end}}</dl>
{{end}}{{with .Table}}<div class="wide"><table{{if gt (len .Columns) 5}} class="figures"{{end}}>
<thead><tr>{{range .Columns}}<th scope="col">{{.}}</th>{{end}}</tr></thead>
<tbody>
{{range .Rows}}<tr>{{range .}}<td>{{.}}</td>{{end}}</tr>
{{end}}</tbody>
</table></div>
{{end}}{{if .Checks}}<ul>
{{range .Checks}}<li><label><input type="checkbox" id="{{.ID}}"> <span>{{.Text}}</span></label></li>
{{end}}</ul>
{{end}}{{range .Text}}<p>{{.}}</p>
{{end}}{{with .Figure}}<figure>{{svg .}}<figcaption>{{.Caption}}</figcaption></figure>
{{end}}</section>
{{end}}</main>
<footer>
<p>Made from {{.Stamp.Words}}.</p>
<p>Stale when {{join .Stale "; "}}.</p>
</footer>
</body>
</html>
`

const sheetStyle = `
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 1rem; max-width: 50rem; background: #fff; color: #111;
  font: 1.05rem/1.4 "Atkinson Hyperlegible", system-ui, sans-serif; overflow-wrap: break-word; }
h1 { font-size: 1.5rem; line-height: 1.2; margin: 0 0 .25rem; }
header p { margin: 0; }
h2 { font-size: 1.1rem; margin: 1.4rem 0 .4rem; border-bottom: 2px solid #111; break-after: avoid; }
p { margin: .4rem 0; }
dl { margin: 0; }
dl div { display: grid; grid-template-columns: 11rem 1fr; gap: 0 1rem; padding: .2rem 0; border-bottom: 1px solid #ddd; break-inside: avoid; }
dt { color: #444; }
dd { margin: 0; font-weight: 600; }
dd.blank { font-weight: 400; font-style: italic; font-size: .9rem; color: #555; min-height: 2rem; border-bottom: 1px solid #111; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; }
th, td { text-align: left; vertical-align: top; padding: .25rem .6rem .25rem 0; border-bottom: 1px solid #ddd; }
td:empty { height: 1.9rem; }
td:first-child { min-width: 4.6rem; }
.figures td { white-space: nowrap; }
th { color: #444; font-weight: 400; border-bottom-color: #111; }
tr { break-inside: avoid; }
ul { list-style: none; margin: 0; padding: 0; }
li { border-bottom: 1px solid #ddd; break-inside: avoid; }
label { display: flex; gap: .7rem; align-items: flex-start; padding: .45rem 0; min-height: 2.75rem; }
input { flex: none; width: 1.5rem; height: 1.5rem; margin: 0; accent-color: #111; }
.caution { border-left: .4rem solid #b00020; background: #fdf1f1; padding: .4rem .7rem; break-inside: avoid; }
.large { border: 3px solid #111; padding: .5rem 1rem 1rem; margin: 1rem 0; font-size: 1.15rem; break-inside: avoid; }
.large h2 { font-size: 2.2rem; border: 0; margin: 0 0 .5rem; letter-spacing: .05em; }
figure { margin: 1rem 0; break-inside: avoid; }
svg { width: 15rem; max-width: 100%; display: block; }
figcaption { font-size: .95rem; overflow-wrap: anywhere; }
footer { margin-top: 1.5rem; border-top: 1px solid #111; font-size: .9rem; color: #333; }
@media (max-width: 34rem) { dl div { grid-template-columns: 1fr; } body { padding: .75rem; } }
@media print { body { max-width: none; padding: 0; font-size: 10.5pt; } label { min-height: 0; padding: .2rem 0; }
  input { width: 1.1rem; height: 1.1rem; } .wide { overflow: visible; } }`
