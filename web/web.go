// Package web holds the page: templates, scripts, styles and drawings, and
// the views that the templates show. Start at ParsePages. It knows nothing of
// HTTP or of conversations.
package web

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"html/template"
	"io"
	"io/fs"
	"sort"
	"strings"
)

//go:embed templates/*.html templates/sw.js
var templates embed.FS

//go:embed static
var static embed.FS

// Pages are the parsed templates with what they refer to.
type Pages struct {
	set *template.Template
	// Version names the content of Static: it changes with every byte of it.
	Version string
	// Files are the scripts, styles and drawings by path.
	Files fs.FS
	paths []string
}

// ParsePages reads what is embedded.
func ParsePages() (*Pages, error) {
	p := &Pages{}
	files, err := fs.Sub(static, "static")
	if err != nil {
		return nil, err
	}
	p.Files = files
	sum := sha256.New()
	err = fs.WalkDir(files, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(files, path)
		if err != nil {
			return err
		}
		p.paths = append(p.paths, path)
		fmt.Fprintf(sum, "%s %d\n", path, len(data))
		sum.Write(data)
		return nil
	})
	if err != nil {
		return nil, err
	}
	worker, err := templates.ReadFile("templates/sw.js")
	if err != nil {
		return nil, err
	}
	sum.Write(worker)
	p.Version = hex.EncodeToString(sum.Sum(nil))[:12]
	p.set, err = template.New("").Funcs(template.FuncMap{
		"asset":   p.Asset,
		"drawing": p.Drawing,
		"each":    func(names []string) string { return strings.Join(names, ", ") },
	}).ParseFS(templates, "templates/*.html")
	if err != nil {
		return nil, fmt.Errorf("the page's templates: %w", err)
	}
	return p, nil
}

// Asset is the address of a file of Files.
func (p *Pages) Asset(path string) string { return "/static/" + p.Version + "/" + path }

// Paths lists Files in order.
func (p *Pages) Paths() []string { return append([]string{}, p.paths...) }

// Execute writes the page named by its template.
func (p *Pages) Execute(w io.Writer, name string, view any) error {
	return p.set.ExecuteTemplate(w, name, view)
}

// Worker is the service worker: it keeps the files of this version and the
// articles that were read.
func (p *Pages) Worker() ([]byte, error) {
	text, err := templates.ReadFile("templates/sw.js")
	if err != nil {
		return nil, err
	}
	var list []string
	for _, path := range p.paths {
		if strings.HasSuffix(path, ".js") || strings.HasSuffix(path, ".css") || path == "icon.svg" {
			list = append(list, p.Asset(path))
		}
	}
	sort.Strings(list)
	return []byte(strings.NewReplacer("VERSION", p.Version, "FILES", strings.Join(list, " ")).Replace(string(text))), nil
}

// Drawing is one of the project's own SVG drawings, to stand in a page so
// that it takes the page's colours; empty when there is none of that name.
func (p *Pages) Drawing(name string) template.HTML {
	data, err := fs.ReadFile(p.Files, "pictures/"+name+".svg")
	if err != nil {
		return ""
	}
	return template.HTML(data) // from the embedded files, never from a user's folder
}

// Drawings lists the names of the drawings in order.
func (p *Pages) Drawings() []string {
	var out []string
	for _, path := range p.paths {
		if name, ok := strings.CutPrefix(path, "pictures/"); ok {
			out = append(out, strings.TrimSuffix(name, ".svg"))
		}
	}
	return out
}
