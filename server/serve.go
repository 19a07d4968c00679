package main

import (
	"context"
	"crypto/tls"
	"errors"
	"flag"
	"fmt"
	"io"
	"net"
	"net/http"
	"path/filepath"
	"sync/atomic"
	"time"

	"ruleout/dialog/learn"
	"ruleout/server/casebook"
	"ruleout/server/chat"
)

// serve is the page: it prints the address on its first line and runs until
// the context ends.
func serve(ctx context.Context, args []string, out, errs io.Writer) error {
	c, err := parse("server", "Serves the page on which you describe a trouble and find the part.\nCases are kept in a file and are there again after a restart.\nOther commands: talk (in this terminal), check (the articles); each explains itself with -h.",
		"go run ./server -listen 127.0.0.1:8427", args, errs, func(fs *flag.FlagSet, c *config) {
			fs.StringVar(&c.listen, "listen", "127.0.0.1:0", "`address` to listen on; port 0 takes a free one")
			fs.StringVar(&c.cert, "cert", "", "`file` with your own TLS certificate (PEM); needs -key")
			fs.StringVar(&c.key, "key", "", "`file` with its key (PEM)")
			fs.StringVar(&c.data, "data", dataFolder(), "`folder` in which the cases are kept")
			fs.BoolVar(&c.explain, "explain", false, "add the numbers behind each reply")
			fs.Float64Var(&c.learn, "learn", learn.DefaultStrength, "let closed cases count: the authored frequencies weigh as much as this `number` of cases; 0 switches it off")
			fs.StringVar(&c.index, "index", "", "`folder` for the search index; without it the index is in memory")
		})
	if err != nil {
		return err
	}
	if !(c.learn >= 0 && c.learn <= 1e6) {
		return fmt.Errorf("%w: -learn takes a number from 0 to 1000000", errWrong)
	}
	secure, err := tlsOf(c)
	if err != nil {
		return err
	}
	book, err := casebook.Open(casesFile(c.data))
	if err != nil {
		return err
	}
	defer book.Close()
	for _, note := range book.Notes() {
		fmt.Fprintln(errs, "ruleout:", note)
	}
	desk := chat.NewDesk(book, nil, time.Now)
	desk.Learn(c.learn)
	desk.SearchCases(indexCases)
	desk.AfterTurns(tidyWhileReading())
	listener, err := net.Listen("tcp", c.listen)
	if err != nil {
		return fmt.Errorf("can't listen on %s: %w; choose another with -listen", c.listen, err)
	}
	scheme := "http"
	if secure != nil {
		scheme, listener = "https", tls.NewListener(listener, secure)
	}
	// The page needs no articles: it is served while they are read. Folders of
	// the user's own can be at fault, and that is told before the address.
	var now atomic.Pointer[rooms]
	prepared := make(chan error, 1)
	ctx, fail := context.WithCancel(ctx)
	defer fail()
	if c.articles != "" || c.index != "" {
		if err := prepare(ctx, c, errs, &now, desk); err != nil {
			return errors.Join(err, listener.Close())
		}
	} else {
		go func() {
			err := prepare(ctx, c, errs, &now, desk)
			if err != nil {
				fail()
			}
			prepared <- err
		}()
	}
	page := chat.New(desk, func() chat.Searcher {
		desk.Engine() // waits until there are rooms
		return searcher{now.Load().index}
	})
	var pairing *chat.Pairing
	doors := doorsOf(scheme, listener.Addr())
	if beyond(listener.Addr()) {
		if pairing, err = chat.NewPairing(filepath.Join(c.data, "devices.json"), time.Now); err != nil {
			return errors.Join(err, listener.Close())
		}
		page.Admit(pairing, doors)
	}
	handler, err := page.Handler()
	if err != nil {
		return errors.Join(err, listener.Close())
	}
	address := addressOf(scheme, listener.Addr())
	if err := book.Say("its page is at " + address); err != nil {
		return errors.Join(err, listener.Close())
	}
	fmt.Fprintln(out, address)
	if pairing != nil {
		if err := invite(out, doors, pairing.Phrase(), secure == nil); err != nil {
			return errors.Join(err, listener.Close())
		}
	}
	err = listen(ctx, listener, handler)
	select {
	case p := <-prepared:
		return errors.Join(p, err)
	default:
		return err
	}
}

// prepare reads the articles, builds the rooms over them and hands them to the
// desk, then follows the user's folder.
func prepare(ctx context.Context, c *config, errs io.Writer, now *atomic.Pointer[rooms], desk *chat.Desk) error {
	spareMemory()
	store, err := loadBase(c, errs)
	if err != nil {
		return err
	}
	r, err := openRooms(store.Current(), c)
	if err != nil {
		return err
	}
	now.Store(r)
	desk.Use(r.engine)
	go func() {
		_, _ = r.index.wait() // its own fault is told where it is used
		settleMemory()
		if solveAhead {
			r.engine.Warm(func() bool { return ctx.Err() != nil })
		}
	}()
	return follow(ctx, store, c, now, desk.Use)
}

// solveAhead has the circuits solved in the background after the start. Tests,
// which start the program over and over, turn it off.
var solveAhead = true

// tlsOf reads the certificate, if one is given.
func tlsOf(c *config) (*tls.Config, error) {
	if c.cert == "" && c.key == "" {
		return nil, nil
	}
	if c.cert == "" || c.key == "" {
		return nil, fmt.Errorf("%w: -cert and -key go together", errWrong)
	}
	pair, err := tls.LoadX509KeyPair(c.cert, c.key)
	if err != nil {
		return nil, fmt.Errorf("the certificate can't be used: %w", err)
	}
	return &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12}, nil
}

// listen serves until the context ends, then lets requests finish.
func listen(ctx context.Context, l net.Listener, h http.Handler) error {
	srv := &http.Server{Handler: h, ReadHeaderTimeout: 10 * time.Second, ReadTimeout: time.Minute, WriteTimeout: time.Minute, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 64 << 10}
	failed := make(chan error, 1)
	go func() { failed <- srv.Serve(l) }()
	select {
	case err := <-failed:
		return err
	case <-ctx.Done():
	}
	end, cancel := context.WithTimeout(context.Background(), 3*time.Second)
	defer cancel()
	if err := srv.Shutdown(end); err != nil {
		return srv.Close()
	}
	return nil
}
