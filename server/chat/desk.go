package chat

import (
	"crypto/rand"
	"errors"
	"fmt"
	"math"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"ruleout/dialog"
	"ruleout/server/casebook"
)

// Desk holds the conversations that are open. Each has its own lock; the
// engine under all of them can be exchanged while they go on.
type Desk struct {
	book   Book
	engine atomic.Pointer[dialog.Engine]
	ready  chan struct{} // closed once there is an engine
	first  sync.Once
	now    func() time.Time
	// answered is called after each turn.
	answered func()

	mu    sync.Mutex
	cases map[string]*conversation

	lines   lines
	teaches teaching
	past    caseIndex
}

// Exchange is one turn with its reply, as sent to the page.
type Exchange struct {
	Number int           `json:"number"`
	Key    string        `json:"key,omitempty"`
	When   time.Time     `json:"when"`
	Turn   dialog.Turn   `json:"turn"`
	Reply  *dialog.Reply `json:"reply"`
}

// Case is a whole conversation.
type Case struct {
	ID string `json:"id"`
	// Vehicle is the id of the sheet the case began with, if any.
	Vehicle string        `json:"vehicle,omitempty"`
	Opening *dialog.Reply `json:"opening"`
	Turns   []Exchange    `json:"turns"`
}

type conversation struct {
	mu      sync.Mutex
	id      string
	about   casebook.About
	engine  *dialog.Engine
	opening *dialog.Reply
	state   *dialog.State
	turns   []Exchange
	keys    map[string]int
	watch   map[chan Exchange]struct{}
	gone    bool // deleted, or changed by an import: to be opened again
}

// NewDesk makes a desk over a book. The engine may be nil while it is still
// being made: whoever needs it then waits for the first Use.
func NewDesk(book Book, engine *dialog.Engine, now func() time.Time) *Desk {
	d := &Desk{book: book, now: now, answered: func() {}, ready: make(chan struct{}), cases: map[string]*conversation{}, lines: lines{known: map[string]casebook.Line{}}}
	if engine != nil {
		d.Use(engine)
	}
	return d
}

// Use exchanges the engine; conversations move over at their next turn, by
// replay.
func (d *Desk) Use(e *dialog.Engine) {
	d.engine.Store(e)
	d.first.Do(func() { close(d.ready) })
}

// AfterTurns has f called after each turn that was answered. It must be set
// before the first one.
func (d *Desk) AfterTurns(f func()) { d.answered = f }

// Engine is the engine in use.
func (d *Desk) Engine() *dialog.Engine { <-d.ready; return d.engine.Load() }

// Begin opens a new case, for the vehicle of a sheet if its id is given. What
// the sheet says and what closed cases have taught so far are kept with it.
func (d *Desk) Begin(vehicle string) (*Case, error) {
	a := casebook.About{Begun: d.now().UTC().Truncate(time.Millisecond), Vehicle: vehicle}
	if vehicle != "" {
		v, err := d.book.Vehicle(vehicle)
		if err != nil {
			return nil, err
		}
		a.Given.Vehicle = v.Facts
	}
	learned, err := d.Learned()
	if err != nil {
		return nil, err
	}
	a.Given.Learned = learned
	id := strings.ToLower(rand.Text()[:12])
	if err := d.book.Create(id, a); err != nil {
		return nil, fmt.Errorf("could not make a case: %w", err)
	}
	return d.Case(id)
}

// Case returns a whole conversation.
func (d *Desk) Case(id string) (*Case, error) {
	c, err := d.open(id)
	if err != nil {
		return nil, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.follow(d.Engine())
	return &Case{ID: id, Vehicle: c.about.Vehicle, Opening: c.opening, Turns: append([]Exchange{}, c.turns...)}, nil
}

// Take takes a turn: it is stored first, then answered and shown to all who
// watch. A key that was taken before gives the same exchange again.
func (d *Desk) Take(id, key string, t dialog.Turn) (Exchange, error) {
	c, err := d.open(id)
	if err != nil {
		return Exchange{}, err
	}
	if v := reading(t); math.Abs(v) > mostReading {
		return Exchange{}, badRequest(fmt.Sprintf("no meter reads %g", v), "type what the meter shows")
	}
	c.mu.Lock()
	if c.gone {
		c.mu.Unlock()
		return d.Take(id, key, t)
	}
	defer c.mu.Unlock()
	c.follow(d.Engine())
	if n, ok := c.keys[key]; ok && key != "" {
		return c.turns[n], nil
	}
	r := casebook.Record{Key: key, When: d.now().UTC().Truncate(time.Millisecond), Turn: t}
	if err := d.book.Append(id, r); err != nil {
		if notFound(err) { // deleted meanwhile
			return Exchange{}, err
		}
		return Exchange{}, fmt.Errorf("the turn could not be stored: %w", err)
	}
	x := c.take(r)
	d.answered()
	for ch := range c.watch {
		select {
		case ch <- x:
		default: // a watcher that can't keep up is closed and comes back
			close(ch)
			delete(c.watch, ch)
		}
	}
	return x, nil
}

// mostReading is the greatest number taken as a reading, in any unit: beyond
// it arithmetic on readings may overflow.
const mostReading = 1e12

// reading is the number of a tap, or 0.
func reading(t dialog.Turn) float64 {
	if t.Tap == nil || t.Tap.Value == nil {
		return 0
	}
	return *t.Tap.Value
}

// Watch returns a channel of exchanges of the case from now on, all before
// it, and a function that ends the watch. The channel is closed when the
// watcher falls behind.
func (d *Desk) Watch(id string) (*Case, <-chan Exchange, func(), error) {
	c, err := d.open(id)
	if err != nil {
		return nil, nil, nil, err
	}
	c.mu.Lock()
	if c.gone {
		c.mu.Unlock()
		return d.Watch(id)
	}
	defer c.mu.Unlock()
	c.follow(d.Engine())
	ch := make(chan Exchange, 32)
	c.watch[ch] = struct{}{}
	stop := func() {
		c.mu.Lock()
		defer c.mu.Unlock()
		if _, ok := c.watch[ch]; ok {
			delete(c.watch, ch)
			close(ch)
		}
	}
	return &Case{ID: id, Vehicle: c.about.Vehicle, Opening: c.opening, Turns: append([]Exchange{}, c.turns...)}, ch, stop, nil
}

// open finds a conversation or replays it from the book, and keeps it.
func (d *Desk) open(id string) (*conversation, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if c, ok := d.cases[id]; ok {
		return c, nil
	}
	c, err := d.replayed(id)
	if err == nil {
		d.cases[id] = c
	}
	return c, err
}

// peek is open for a look: a conversation that nobody has open is not kept.
func (d *Desk) peek(id string) (*conversation, error) {
	d.mu.Lock()
	c, ok := d.cases[id]
	d.mu.Unlock()
	if ok {
		return c, nil
	}
	return d.replayed(id)
}

// replayed reads a conversation from the book.
func (d *Desk) replayed(id string) (*conversation, error) {
	records, err := d.book.Turns(id)
	if err != nil {
		return nil, err
	}
	about, err := d.book.About(id)
	if err != nil {
		return nil, err
	}
	c := &conversation{id: id, about: about, watch: map[chan Exchange]struct{}{}}
	c.replay(d.Engine(), records)
	return c, nil
}

func (c *conversation) replay(e *dialog.Engine, records []casebook.Record) {
	c.engine, c.turns, c.keys = e, nil, map[string]int{}
	c.state, c.opening = e.StartFor(c.about.Given)
	for _, r := range records {
		c.take(r)
	}
}

// follow moves the conversation over to another engine.
func (c *conversation) follow(e *dialog.Engine) {
	if c.engine == e {
		return
	}
	records := make([]casebook.Record, len(c.turns))
	for i, x := range c.turns {
		records[i] = casebook.Record{Key: x.Key, When: x.When, Turn: x.Turn}
	}
	c.replay(e, records)
}

func (c *conversation) take(r casebook.Record) Exchange {
	state, reply := c.engine.Step(c.state, r.Turn)
	c.state = state
	x := Exchange{Number: len(c.turns) + 1, Key: r.Key, When: r.When, Turn: r.Turn, Reply: reply}
	c.turns = append(c.turns, x)
	if r.Key != "" {
		c.keys[r.Key] = len(c.turns) - 1
	}
	return x
}

// notFound reports whether an error means an unknown case.
func notFound(err error) bool { return errors.Is(err, casebook.ErrNotFound) }
