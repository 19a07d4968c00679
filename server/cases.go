package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"ruleout/dialog"
	"ruleout/dialog/learn"
	"ruleout/retrieval"
	"ruleout/server/casebook"
	"ruleout/server/casebook/archive"
	"ruleout/server/chat"
)

// caseFlags are what the command cases may be asked.
type caseFlags struct {
	one, export, take, learned, merge, report, search string
	shop                                              bool
}

// cases looks after the file of cases without the page.
func cases(args []string, out, errs io.Writer) error {
	var f caseFlags
	c, err := parse("cases", "Lists the cases, searches them, prints a report, exports and imports; the page must be closed.\nWithout an option it lists them.",
		"go run ./server cases -export ~/cases.zip", args, errs, func(fs *flag.FlagSet, c *config) {
			fs.StringVar(&c.data, "data", dataFolder(), "`folder` in which the cases are kept")
			fs.StringVar(&f.one, "case", "", "with -export: the `id` of the one case to export, as a readable file (.yaml) or with its photos (.zip)")
			fs.StringVar(&f.export, "export", "", "write all cases, photos, vehicles and what was learned to this `file` (.zip)")
			fs.StringVar(&f.take, "import", "", "take in an archive, or the `file` of one case")
			fs.StringVar(&f.learned, "learned", "", "write what closed cases taught, without any words, to this `file`")
			fs.StringVar(&f.merge, "merge", "", "join in what another garage's closed cases taught, from its `file`")
			fs.StringVar(&f.report, "report", "", "print the report of the case with this `id`, in Markdown")
			fs.BoolVar(&f.shop, "shop", false, "with -report: the version for a workshop")
			fs.StringVar(&f.search, "search", "", "find past cases by `words`")
		})
	if err != nil {
		return err
	}
	book, desk, release, err := openDesk(c, errs)
	if err != nil {
		return err
	}
	defer release()
	switch {
	case f.export != "":
		return exportTo(desk, f, out)
	case f.take != "":
		return importFrom(desk, f.take, out)
	case f.learned != "":
		l, err := desk.Ledger()
		if err != nil {
			return err
		}
		data, err := archive.WriteLedger(l)
		if err != nil {
			return err
		}
		return keepNew(f.learned, data)
	case f.merge != "":
		data, err := readMost(f.merge, archive.CaseBytesMost)
		if err != nil {
			return err
		}
		l, err := archive.ReadLedger(f.merge, data)
		if err != nil {
			return err
		}
		return book.MergeForeign(l)
	case f.report != "":
		text, err := desk.ReportText(f.report, f.shop)
		if err != nil {
			return err
		}
		_, err = fmt.Fprint(out, text)
		return err
	case f.search != "":
		hits, err := desk.FindCases(f.search, 20)
		for _, h := range hits {
			listCase(out, h.Listed)
		}
		return err
	}
	list, err := desk.List()
	for _, l := range list {
		listCase(out, l)
	}
	return err
}

// openDesk opens the cases with the articles under them, for a command.
func openDesk(c *config, errs io.Writer) (*casebook.Store, *chat.Desk, func(), error) {
	book, err := casebook.Open(casesFile(c.data))
	if err != nil {
		return nil, nil, nil, err
	}
	for _, note := range book.Notes() {
		fmt.Fprintln(errs, "ruleout:", note)
	}
	store, err := loadBase(c, errs)
	if err != nil {
		return nil, nil, nil, errors.Join(err, book.Close())
	}
	r, err := openRooms(store.Current(), c)
	if err != nil {
		return nil, nil, nil, errors.Join(err, book.Close())
	}
	desk := chat.NewDesk(book, r.engine, time.Now)
	desk.Learn(learn.DefaultStrength)
	desk.SearchCases(indexCases)
	return book, desk, func() { book.Close(); r.index.Close() }, nil
}

// indexCases makes the searcher over past cases.
func indexCases(e *dialog.Engine, texts []chat.CaseText) (chat.CaseSearcher, error) {
	list := make([]retrieval.CaseText, len(texts))
	for i, t := range texts {
		list[i] = retrieval.CaseText(t)
	}
	x, err := retrieval.OpenCases(e.Base(), list)
	return pastCases{x}, err
}

// pastCases gives the interface the index over cases without its types.
type pastCases struct{ index *retrieval.Index }

func (p pastCases) Search(words string, limit int) ([]chat.Hit, error) {
	hits, err := p.index.Search(words, limit)
	return shown(hits), err
}

// likeLeast is the share of a case's words that another must have to be called
// like it. Basis: memory.
const likeLeast = 0.2

func (p pastCases) Related(id string, limit int) ([]chat.Hit, error) {
	hits, err := p.index.Related(id, limit)
	hits = slices.DeleteFunc(hits, func(h retrieval.Hit) bool { return h.Cover < likeLeast })
	return shown(hits), err
}

func (p pastCases) Close() error { return p.index.Close() }

func listCase(out io.Writer, l chat.Listed) {
	fmt.Fprintf(out, "%s  %s  %-8s  %s\n", l.ID, l.When.Local().Format("2006-01-02 15:04"), l.State, strings.Join(l.Recap, " "))
}

func exportTo(desk *chat.Desk, f caseFlags, out io.Writer) error {
	var data []byte
	var err error
	switch {
	case f.one == "":
		data, err = desk.ExportAll()
	case filepath.Ext(f.export) == ".zip":
		data, err = desk.ExportAll(f.one)
	default:
		data, err = desk.Export(f.one)
	}
	if err != nil {
		return err
	}
	if err := keepNew(f.export, data); err != nil {
		return err
	}
	fmt.Fprintf(out, "%s: %d bytes\n", f.export, len(data))
	return nil
}

func importFrom(desk *chat.Desk, file string, out io.Writer) error {
	data, err := readMost(file, archive.BytesMost)
	if err != nil {
		return err
	}
	n, err := desk.Import(filepath.Base(file), data)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "%d new cases, %d that had gone on elsewhere, %d already here; %d photos, %d vehicles\n", n.Cases, n.Longer, n.Same, n.Photos, n.Vehicles)
	return nil
}

// keepNew writes a file that must not be there yet.
func keepNew(file string, data []byte) error {
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, os.ErrExist) {
		return fmt.Errorf("%s is there already; choose another name", file)
	}
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Sync(), f.Close())
}

// readMost reads a file of bounded size.
func readMost(file string, most int64) ([]byte, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, most+1))
	if err == nil && int64(len(data)) > most {
		err = fmt.Errorf("%s is larger than %d MiB", file, most>>20)
	}
	return data, err
}
