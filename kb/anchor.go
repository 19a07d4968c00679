package kb

import (
	"strings"
	"unicode"

	"github.com/yuin/goldmark/ast"
	extast "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
)

// RowID is the anchor of the row of a table whose first cell has this text, so
// that a link can lead to the row: article:table-looks#row-leaking-now.
func RowID(title string) string {
	words := strings.FieldsFunc(strings.ToLower(title), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	return "row-" + strings.Join(words, "-")
}

// rowAnchors gives every row of every table its anchor; of rows that begin alike
// the first has it.
type rowAnchors struct{}

func (rowAnchors) Transform(doc *ast.Document, r text.Reader, _ parser.Context) {
	taken := map[string]bool{}
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		row, ok := n.(*extast.TableRow)
		if !ok || !entering || row.FirstChild() == nil {
			return ast.WalkContinue, nil
		}
		if id := RowID(textOf(row.FirstChild(), r.Source())); !taken[id] {
			taken[id] = true
			row.SetAttributeString("id", []byte(id))
		}
		return ast.WalkSkipChildren, nil
	})
}

// textOf is the text of a node without its marks.
func textOf(n ast.Node, src []byte) string {
	var out strings.Builder
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			switch n := n.(type) {
			case *ast.Text:
				out.Write(n.Segment.Value(src))
			case *ast.String:
				out.Write(n.Value)
			}
		}
		return ast.WalkContinue, nil
	})
	return out.String()
}
