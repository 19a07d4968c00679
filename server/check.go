package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"

	"ruleout/kb"
	"ruleout/server/casebook"
)

// check validates the articles and prints every fault with its place.
func check(args []string, out, errs io.Writer) error {
	c, err := parse("check", "Checks the articles that come with the program, and your own folder over them.\nEvery fault is printed as file:line:column, what is wrong and how to mend it.",
		"go run ./server check -articles ~/my-articles", args, errs, func(fs *flag.FlagSet, c *config) {
			fs.StringVar(&c.data, "data", "", "`folder` of cases whose file is read through and checked too")
			fs.BoolVar(&c.schema, "schema", false, "print the JSON Schema of the articles, with which an editor completes them, and stop")
		})
	if err != nil {
		return err
	}
	if c.schema {
		schema, err := kb.Schema()
		if err != nil {
			return err
		}
		_, err = fmt.Fprintf(out, "%s\n", schema)
		return err
	}
	var b *kb.Base
	var problems kb.Problems
	var outside []string
	if c.articles == "" {
		b, problems = kb.Embedded()
	} else {
		b, problems = kb.Load(kb.EmbeddedFS(), os.DirFS(c.articles))
		outside = misplaced(c.articles)
	}
	for _, p := range problems {
		fmt.Fprintln(out, p)
	}
	for _, m := range outside {
		fmt.Fprintln(out, m)
	}
	bad := len(problems.Errors()) + len(outside)
	fmt.Fprintf(out, "%d symptoms, %d causes, %d tests, %d cards, %d paths; %d errors, %d warnings\n",
		len(b.Symptoms), len(b.Causes), len(b.Tests), len(b.Cards), len(b.Paths), bad, len(problems.Warnings()))
	var casesErr error
	if c.data != "" {
		casesErr = checkCases(c.data, out)
	}
	if bad > 0 {
		return errors.Join(fmt.Errorf("%d errors in the articles", bad), casesErr)
	}
	return casesErr
}

// checkCases reads the file of cases through; the program that writes it must
// be closed.
func checkCases(folder string, out io.Writer) error {
	n, err := casebook.Verify(casesFile(folder))
	if err != nil {
		return err
	}
	for _, note := range n.Notes {
		fmt.Fprintln(out, note)
	}
	fmt.Fprintf(out, "%d cases with %d turns, %d notes and photos, %d vehicles, all readable\n", n.Cases, n.Turns, n.Attached, n.Vehicles)
	return nil
}
