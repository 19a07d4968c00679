// Package web holds the page: templates, scripts, styles and drawings, and
// the views that the templates show. Start at ParsePages. It knows nothing of
// HTTP or of conversations.
package web

import (
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"html/template"
	"io"
	"io/fs"
	"regexp"
	"sort"
	"strings"
)

//go:embed templates/*.html templates/sw.js
var templates embed.FS

//go:embed static
var static embed.FS

// Themes are what the page can be told to look like; the first leaves it to
// the device.
var Themes = []string{"auto", "sun", "dark"}

// Pages are the parsed templates with what they refer to.
type Pages struct {
	sets map[string]*template.Template // by theme
	// Version names the content of Static: it changes with every byte of it.
	Version string
	// Files are the scripts, styles and drawings by path.
	Files fs.FS
	paths []string
	// StyleHash is the source expression of CSP level 2 ("sha256-...") of the
	// style sheet, which stands in every page: one answer of the program is
	// enough to paint it.
	StyleHash string
	style     template.HTML
	modules   map[string][]string
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
	style, err := fs.ReadFile(files, "page.css")
	if err != nil {
		return nil, err
	}
	hash := sha256.Sum256(style)
	p.StyleHash = "sha256-" + base64.StdEncoding.EncodeToString(hash[:])
	p.style = template.HTML("<style>" + string(style) + "</style>")
	if p.modules, err = modules(files, p.paths); err != nil {
		return nil, err
	}
	set, err := template.New("").Funcs(template.FuncMap{
		"asset":   p.Asset,
		"drawing": p.Drawing,
		"each":    func(names []string) string { return strings.Join(names, ", ") },
		"style":   func() template.HTML { return p.style },
		"needs":   func(module string) []string { return p.modules[module] },
		"theme":   func() string { return Themes[0] },
	}).ParseFS(templates, "templates/*.html")
	if err != nil {
		return nil, fmt.Errorf("the page's templates: %w", err)
	}
	p.sets = map[string]*template.Template{}
	for _, theme := range Themes {
		own, err := set.Clone()
		if err != nil {
			return nil, fmt.Errorf("the page's templates: %w", err)
		}
		p.sets[theme] = own.Funcs(template.FuncMap{"theme": func() string { return theme }})
	}
	return p, nil
}

// Asset is the address of a file of Files.
func (p *Pages) Asset(path string) string { return "/static/" + p.Version + "/" + path }

// Paths lists Files in order.
func (p *Pages) Paths() []string { return append([]string{}, p.paths...) }

// Execute writes the page named by its template, in one of Themes; any other
// theme is the first of them.
func (p *Pages) Execute(w io.Writer, name, theme string, view any) error {
	set, ok := p.sets[theme]
	if !ok {
		set = p.sets[Themes[0]]
	}
	return set.ExecuteTemplate(w, name, view)
}

var imports = regexp.MustCompile(`(?m)^import [^"]*"\./([^"]+)";`)

// modules lists for each script all that it imports, so that a page can ask
// for everything at once and not one import after the other.
func modules(files fs.FS, paths []string) (map[string][]string, error) {
	direct := map[string][]string{}
	for _, path := range paths {
		if !strings.HasSuffix(path, ".js") {
			continue
		}
		text, err := fs.ReadFile(files, path)
		if err != nil {
			return nil, err
		}
		for _, m := range imports.FindAllSubmatch(text, -1) {
			direct[path] = append(direct[path], string(m[1]))
		}
	}
	all := map[string][]string{}
	for path := range direct {
		seen := map[string]bool{path: true}
		var walk func(string)
		walk = func(from string) {
			for _, to := range direct[from] {
				if !seen[to] {
					seen[to] = true
					all[path] = append(all[path], to)
					walk(to)
				}
			}
		}
		walk(path)
	}
	return all, nil
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
		if strings.HasSuffix(path, ".js") || path == "icon.svg" {
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
