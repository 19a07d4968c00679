package main

import (
	"fmt"
	"slices"
	"strings"

	"ruleout/kb"
)

// readPage is the article that “read ID” asks for, as plain text, or of a table
// the row that “read ID#ROW” names; "" when the words are no such request.
func readPage(b *kb.Base, words string) string {
	f := strings.Fields(words)
	if len(f) != 2 || !strings.EqualFold(f[0], "read") {
		return ""
	}
	id, row, _ := strings.Cut(strings.ToLower(f[1]), "#")
	h, ok := b.Head(id)
	if !ok {
		if !strings.Contains(id, "-") {
			return "" // "read 12.4" is a reading
		}
		if near := b.NearestArticle(id); near != "" {
			return "There is no article “" + id + "”; the nearest is " + near + "."
		}
		return "There is no article “" + id + "”."
	}
	var out strings.Builder
	out.WriteString("\n" + h.Title + "\n\n")
	if c := b.Cause(id); c != nil {
		wrap(&out, fmt.Sprintf("%.2g of a thousand troubled cars that have it (basis: %s). Repair: %s.", c.Frequency.PerThousand, c.Frequency.Basis, c.Repair.Do))
		out.WriteByte('\n')
	}
	body := strings.Split(strings.TrimSpace(h.Body), "\n")
	if row != "" {
		if body = rowOf(body, row); body == nil {
			return "\n“" + h.Title + "” has no row " + row + ".\n"
		}
	}
	var head []string
	for _, line := range body {
		cells := cellsOf(line)
		switch {
		case cells == nil:
			head = nil
			wrap(&out, bold.ReplaceAllString(articleLink.ReplaceAllString(line, "$1 ($2)"), "$1"))
		case head == nil:
			head = cells
		case strings.Trim(cells[0], "- ") == "":
		default:
			for i, c := range cells {
				if c = articleLink.ReplaceAllString(c, "$1"); c == "" {
					continue
				}
				if i > 0 && i < len(head) {
					c = "   " + head[i] + ": " + c
				}
				wrap(&out, c)
			}
		}
	}
	return out.String()
}

// cellsOf are the cells of a line of a table, nil for any other line.
func cellsOf(line string) []string {
	if !strings.HasPrefix(line, "| ") && !strings.HasPrefix(line, "|--") && !strings.HasPrefix(line, "| -") {
		return nil
	}
	cells := strings.Split(strings.Trim(line, "|"), "|")
	for i := range cells {
		cells[i] = strings.TrimSpace(cells[i])
	}
	return cells
}

// rowOf keeps of a page the paragraph before the table that has the row, the head
// of the table and the row itself; nil if no table has it.
func rowOf(body []string, row string) []string {
	head, said := -1, ""
	for i, line := range body {
		cells := cellsOf(line)
		switch {
		case cells == nil:
			head = -1
			if strings.TrimSpace(line) != "" {
				said = line
			}
		case head < 0:
			head = i
		case i > head+1 && kb.RowID(articleLink.ReplaceAllString(cells[0], "$1")) == row:
			return slices.Concat([]string{said, ""}, body[head:head+2], []string{line})
		}
	}
	return nil
}
