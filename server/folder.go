package main

import (
	"fmt"
	"io/fs"
	"os"
	"path"
	"strings"
)

// misplaced names the YAML files of a user's folder that are not read because
// they lie beside its articles and lists, not in them.
func misplaced(dir string) []string {
	var out []string
	_ = fs.WalkDir(os.DirFS(dir), ".", func(file string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return fs.SkipDir // told by the loader, if it is one of its own
		case file == "articles" || file == "lists" || file != "." && d.IsDir() && strings.HasPrefix(d.Name(), "."):
			return fs.SkipDir
		case path.Ext(file) == ".yaml" || path.Ext(file) == ".yml":
			out = append(out, fmt.Sprintf("%s:1:1: not read here; move it to articles/SYSTEM/%s in the folder", file, path.Base(file)))
		}
		return nil
	})
	return out
}
