package main

import (
	"flag"
	"fmt"
	"io"
	"os"

	"ruleout/kb"
)

// check validates the articles and prints every fault with its place.
func check(args []string, out, errs io.Writer) error {
	c, err := parse("check", "Checks the articles that come with the program, and your own folder over them.\nEvery fault is printed as file:line:column, what is wrong and how to mend it.",
		"go run ./server check -articles ~/my-articles", args, errs, func(*flag.FlagSet, *config) {})
	if err != nil {
		return err
	}
	var b *kb.Base
	var problems kb.Problems
	if c.articles == "" {
		b, problems = kb.Embedded()
	} else {
		b, problems = kb.Load(kb.EmbeddedFS(), os.DirFS(c.articles))
	}
	for _, p := range problems {
		fmt.Fprintln(out, p)
	}
	bad := len(problems.Errors())
	fmt.Fprintf(out, "%d symptoms, %d causes, %d tests, %d cards; %d errors, %d warnings\n",
		len(b.Symptoms), len(b.Causes), len(b.Tests), len(b.Cards), bad, len(problems)-bad)
	if bad > 0 {
		return fmt.Errorf("%d errors in the articles", bad)
	}
	return nil
}
