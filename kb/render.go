package kb

import (
	"bytes"
	"html"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/util"
)

// struck renders as bodies are, and knows ~~struck~~ words as well.
var struck = goldmark.New(
	goldmark.WithExtensions(extension.Table, extension.Strikethrough),
	goldmark.WithParserOptions(parser.WithASTTransformers(util.Prioritized(safeLinks{}, 100))),
)

// Render turns Markdown of the program's own making, such as a report, into
// HTML by the rules of bodies: without raw HTML, with links to articles as
// /articles/ID.
func Render(markdown string) string {
	var out bytes.Buffer
	if err := struck.Convert([]byte(markdown), &out); err != nil {
		return "<pre>" + html.EscapeString(markdown) + "</pre>"
	}
	return out.String()
}
