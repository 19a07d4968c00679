package main

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/peterh/liner"

	"ruleout/dialog"
	"ruleout/server/casebook"
)

// talk is the conversation in a terminal, or with -json for scripts.
func talk(ctx context.Context, args []string, in *os.File, out, errs io.Writer) error {
	c, err := parse("talk", "The conversation in this terminal: type what it does, answer, ask “why?”, “undo”, “what else?”.\n“read ID” shows an article or a row of a table named under a reply.\nAn answer can be typed or chosen by its number. End with an empty line twice or Ctrl-D.\nWith -json each line read is a turn and each line written one JSON object.",
		`echo "it gets hot in traffic, fine on the open road" | go run ./server talk -json`, args, errs, func(fs *flag.FlagSet, c *config) {
			fs.BoolVar(&c.json, "json", false, "one turn a line in, one JSON object a line out")
			fs.BoolVar(&c.explain, "explain", false, "add the numbers behind each reply")
			fs.StringVar(&c.data, "data", dataFolder(), "`folder` in which the lines typed are remembered and the vehicle sheets are kept")
			fs.StringVar(&c.vehicle, "vehicle", "", "begin with what is known of the vehicle whose sheet has this `name`")
			fs.StringVar(&c.index, "index", "", "`folder` for the search index; without it the index is in memory")
		})
	if err != nil {
		return err
	}
	store, err := loadBase(c, errs)
	if err != nil {
		return err
	}
	r, err := openRooms(store.Current(), c)
	if err != nil {
		return err
	}
	defer r.index.Close()
	var sheet casebook.Vehicle
	if c.vehicle != "" {
		if sheet, err = sheetOf(c); err != nil {
			return err
		}
	}
	if c.json {
		return talkJSON(r.engine, sheet.Facts, in, out)
	}
	return talkTerminal(ctx, r.engine, sheet, in, out, c)
}

// talkJSON answers one turn a line with one object a line. A line of any
// length and any bytes is a turn.
func talkJSON(e *dialog.Engine, facts map[string]string, in io.Reader, out io.Writer) error {
	s, _ := e.StartFor(dialog.Given{Vehicle: facts})
	lines := bufio.NewReader(in)
	enc := json.NewEncoder(out)
	enc.SetEscapeHTML(false)
	for {
		line, err := lines.ReadString('\n')
		if errors.Is(err, io.EOF) && line == "" {
			return nil
		}
		if err != nil && !errors.Is(err, io.EOF) {
			return err
		}
		var reply *dialog.Reply
		s, reply = e.Step(s, dialog.Turn{Text: strings.TrimRight(line, "\r\n")})
		if err := enc.Encode(reply); err != nil {
			return err
		}
	}
}

// talkTerminal holds the conversation with line editing and history.
func talkTerminal(ctx context.Context, e *dialog.Engine, sheet casebook.Vehicle, in *os.File, out io.Writer, c *config) error {
	read := plainLines(in)
	if st, err := in.Stat(); err == nil && st.Mode()&os.ModeCharDevice != 0 {
		line := liner.NewLiner()
		defer line.Close()
		line.SetCtrlCAborts(true)
		line.SetMultiLineMode(true)
		before := history{filepath.Join(c.data, "history")}
		for _, l := range before.load() {
			line.AppendHistory(l)
		}
		read = func() (string, error) {
			t, err := line.Prompt("> ")
			if err == nil && strings.TrimSpace(t) != "" {
				line.AppendHistory(t)
				before.add(t)
			}
			return t, err
		}
	}
	s, reply := e.StartFor(dialog.Given{Vehicle: sheet.Facts})
	end := func() error {
		if sheet.ID == "" {
			return nil
		}
		return offerCorrections(c, e.Base(), sheet, s, read, out)
	}
	fmt.Fprintln(out, forTerminal(reply))
	empty := 0
	for ctx.Err() == nil {
		text, err := read()
		switch {
		case errors.Is(err, io.EOF), errors.Is(err, liner.ErrPromptAborted):
			fmt.Fprintln(out)
			return end()
		case err != nil:
			return err
		case strings.TrimSpace(text) == "":
			if empty++; empty == 2 {
				return end()
			}
			continue
		}
		empty = 0
		if page := readPage(e.Base(), text); page != "" {
			fmt.Fprintln(out, page)
			continue
		}
		s, reply = e.Step(s, chosen(text, reply))
		fmt.Fprintln(out, forTerminal(reply))
		if c.explain && reply.Explain != nil {
			printExplain(out, reply.Explain)
		}
	}
	return nil
}

func plainLines(in io.Reader) func() (string, error) {
	r := bufio.NewReader(in)
	return func() (string, error) {
		t, err := r.ReadString('\n')
		if errors.Is(err, io.EOF) && t != "" {
			err = nil
		}
		return strings.TrimRight(t, "\r\n"), err
	}
}

// chosen turns the bare number of a quick answer into its tap, unless a
// reading is asked for: then a number is the reading.
func chosen(text string, r *dialog.Reply) dialog.Turn {
	word := strings.TrimSpace(text)
	if r.Next != nil && r.Next.Reading == nil {
		for i, q := range r.Next.Quick {
			if word == fmt.Sprint(i+1) {
				tap := q.Tap
				return dialog.Turn{Text: q.Text, Tap: &tap}
			}
		}
	}
	return dialog.Turn{Text: text}
}
