package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
)

const usage = `Ruleout finds the one failed part of an older car in a conversation.

  go run ./server            the page, on this machine only
  go run ./server talk       the same conversation in this terminal
  go run ./server check      checks the articles
  go run ./server cases      lists, exports and imports the cases
  go run ./server SUB -h     explains one of them
`

// What parse may end with. The flag package has told the first two already.
var (
	errHelp  = errors.New("help was asked for")
	errUsage = errors.New("usage")
	errWrong = errors.New("usage")
)

// config is everything that can be set from the command line.
type config struct {
	listen   string
	cert     string
	key      string
	articles string
	data     string
	index    string
	explain  bool
	json     bool
	learn    float64
	vehicle  string
	schema   bool
}

// parse reads the flags of a sub-command; about and example explain it.
func parse(name, about, example string, args []string, errs io.Writer, define func(*flag.FlagSet, *config)) (*config, error) {
	c := &config{}
	fs := flag.NewFlagSet(name, flag.ContinueOnError)
	fs.SetOutput(errs)
	fs.StringVar(&c.articles, "articles", "", "a `folder` of your own articles, laid over those that come with the program")
	define(fs, c)
	fs.Usage = func() {
		fmt.Fprintf(errs, "%s\n\nExample:\n  %s\n\nOptions:\n", about, example)
		fs.PrintDefaults()
	}
	if err := fs.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return nil, errHelp
		}
		return nil, errUsage
	}
	if fs.NArg() > 0 {
		return nil, fmt.Errorf("%w: %q is not understood; %s takes options only (-h explains)", errWrong, strings.Join(fs.Args(), " "), name)
	}
	if c.articles != "" {
		if st, err := os.Stat(c.articles); err != nil || !st.IsDir() {
			return nil, fmt.Errorf("-articles %s is not a folder that can be read", c.articles)
		}
	}
	return c, nil
}

// dataFolder is where cases are kept unless -data says otherwise.
func dataFolder() string {
	if d, err := os.UserConfigDir(); err == nil {
		return filepath.Join(d, "ruleout")
	}
	return ".ruleout"
}

// casesFile is the file of cases in a data folder.
func casesFile(folder string) string { return filepath.Join(folder, "cases.db") }
