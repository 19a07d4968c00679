package kb

import (
	"bytes"
	"html"
	"net/url"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
)

// articleScheme begins a link to another article in a body.
const articleScheme = "article:"

// markdown renders bodies. Raw HTML is left out (goldmark's default) and
// links are rewritten or refused by safeLinks before rendering.
var markdown = goldmark.New(
	goldmark.WithExtensions(extension.Table),
	goldmark.WithParserOptions(parser.WithASTTransformers(util.Prioritized(safeLinks{}, 100), util.Prioritized(rowAnchors{}, 300))),
)

// safeLinks turns article links into paths of the page and takes the target
// from every link that is neither that nor http(s).
type safeLinks struct{}

func (safeLinks) Transform(doc *ast.Document, r text.Reader, _ parser.Context) {
	var bare []*ast.AutoLink
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Link:
			n.Destination = []byte(href(string(n.Destination)))
		case *ast.Image:
			n.Destination = []byte(href(string(n.Destination)))
		case *ast.AutoLink:
			if href(string(n.URL(r.Source()))) == "" {
				bare = append(bare, n)
			}
		}
		return ast.WalkContinue, nil
	})
	// An address in pointed brackets becomes plain text.
	for _, n := range bare {
		n.Parent().ReplaceChild(n.Parent(), n, ast.NewString(n.Label(r.Source())))
	}
}

// href returns the target a page may use for a link in a body, "" for none.
func href(target string) string {
	if id, ok := strings.CutPrefix(target, articleScheme); ok {
		id, row, _ := strings.Cut(id, "#")
		if row != "" {
			row = "#" + url.PathEscape(row)
		}
		return "/articles/" + url.PathEscape(id) + row
	}
	if u, err := url.Parse(target); err == nil && u.Host != "" && (u.Scheme == "http" || u.Scheme == "https") {
		return u.String()
	}
	return ""
}

// HTML returns the body of the article as HTML, without raw HTML of the
// author's and with links to other articles as /articles/ID; "" for an
// unknown id.
func (b *Base) HTML(id string) string {
	h, ok := b.heads[id]
	if !ok {
		return ""
	}
	var out bytes.Buffer
	if err := markdown.Convert([]byte(h.Body), &out); err != nil {
		// A bytes.Buffer never refuses a write; show the text if it ever did.
		return "<pre>" + html.EscapeString(h.Body) + "</pre>"
	}
	return out.String()
}

// asWritten parses without safeLinks: the targets are the author's.
var asWritten = goldmark.DefaultParser()

// bodyLinks returns the targets of all links and pictures of a body in order.
func bodyLinks(body string) []string {
	var out []string
	src := []byte(body)
	doc := asWritten.Parse(text.NewReader(src))
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			switch n := n.(type) {
			case *ast.Link:
				out = append(out, string(n.Destination))
			case *ast.Image:
				out = append(out, string(n.Destination))
			case *ast.AutoLink:
				out = append(out, string(n.URL(src)))
			}
		}
		return ast.WalkContinue, nil
	})
	return out
}

// articleLinks returns the ids that a body links to, in order; a link to a row
// of a table is one to its page.
func articleLinks(body string) []string {
	var out []string
	for _, target := range bodyLinks(body) {
		if id, ok := strings.CutPrefix(target, articleScheme); ok {
			id, _, _ = strings.Cut(id, "#")
			out = append(out, id)
		}
	}
	return out
}

// PlainText returns a body without its markup: paragraphs and list entries
// one a line, links as their text. It is what search indexes and shows.
func PlainText(body string) string {
	src := []byte(body)
	var out strings.Builder
	doc := markdown.Parser().Parse(text.NewReader(src))
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			if n.Type() == ast.TypeBlock && out.Len() > 0 && !strings.HasSuffix(out.String(), "\n") {
				out.WriteByte('\n')
			}
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Text:
			out.Write(n.Segment.Value(src))
			if n.SoftLineBreak() || n.HardLineBreak() {
				out.WriteByte(' ')
			}
		case *ast.String:
			out.Write(n.Value)
		case *ast.AutoLink:
			out.Write(n.URL(src))
		case *ast.CodeBlock, *ast.FencedCodeBlock:
			for i := range n.Lines().Len() {
				line := n.Lines().At(i)
				out.Write(line.Value(src))
			}
		case *ast.HTMLBlock, *ast.RawHTML:
			return ast.WalkSkipChildren, nil
		}
		return ast.WalkContinue, nil
	})
	return strings.TrimSpace(out.String())
}

// Excerpt returns the beginning of a body as plain text on one line, cut
// after a word, at most n characters with the ellipsis.
func Excerpt(body string, n int) string {
	words := strings.Fields(PlainText(body))
	var out []rune
	for i, w := range words {
		next := []rune(w)
		if i > 0 {
			next = append([]rune{' '}, next...)
		}
		room := n
		if i < len(words)-1 {
			room = n - 1 // for the ellipsis
		}
		if len(out)+len(next) > room {
			return string(out) + "…"
		}
		out = append(out, next...)
	}
	return string(out)
}
