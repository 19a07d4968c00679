package web

import "html/template"

// Frame is what every page has around its content.
type Frame struct {
	Title string
	// Here is the place in the navigation: talk, articles, jobs or phone.
	Here string
	// Module is the script of the page; empty for none. Style is a style sheet
	// of its own, beside that of all pages.
	Module string
	Style  string
	// Bare leaves out the navigation, for a phone that is not let in yet.
	Bare bool
}

// Talk is the conversation; the script fills it.
type Talk struct {
	Frame
	Case     string
	Examples []string
}

// Link is an article to go to.
type Link struct {
	ID, Title, Kind string
	Derived         bool
}

// Group is a titled list of links.
type Group struct {
	ID, Title string
	Links     []Link
}

// Index is the front of the articles: by what is noticed, by system, or what
// was searched for.
type Index struct {
	Frame
	Query    string
	Found    []Found
	Symptoms []Group
	Systems  []Group
	Cards    []Link
}

// Found is one search result; Snippet alternates plain and marked pieces.
type Found struct {
	Link
	System  string
	Snippet []Piece
}

// Piece is a piece of a snippet.
type Piece struct {
	Text string
	Mark bool
}

// Article is one article to read.
type Article struct {
	Frame
	ID, Kind, System, SystemID string
	Derived                    bool
	Danger                     string
	Facts                      []Fact
	Cautions                   []string
	Sections                   []Section
	// Body is sanitised HTML made from the article's Markdown.
	Body      template.HTML
	Schematic *Schematic // of a circuit
	Drawings  []Drawing
	// Line is a path as JSON, for the script that draws it.
	Line    string
	Links   []Link
	Back    []Link
	Related []Link
}

// Fact is one line of an article's head; Basis is shown on tap.
type Fact struct{ Name, Value, Basis string }

// Section is one titled part of an article. Only one of its lists is filled.
type Section struct {
	ID, Title string
	Text      string
	Numbered  []string
	List      []string
	Cautions  []string
	Rows      []Fact
	Links     []Link
}

// Schematic is a circuit's drawing with what can be chosen.
type Schematic struct {
	Arrangements, Setups, Causes []Option
	// Src is the address of the drawing, Words say the same.
	Src, Words string
	// Missing says that something chosen is not in this wiring.
	Missing string
}

// Option is one line of a list to choose from.
type Option struct {
	ID, Title string
	Chosen    bool
}

// Drawing is a drawing with the card that explains it.
type Drawing struct{ Name, Title, Card string }

// Pair asks for the phrase.
type Pair struct {
	Frame
	Wrong string
	Plain bool
}

// Phone shows how to get in from another device, and which ones have.
type Phone struct {
	Frame
	// Open says that the program listens beyond this machine.
	Open    bool
	Local   bool
	Plain   bool
	Phrase  string
	Doors   []Door
	Devices []Device
}

// Door is one address with its QR code as rows of dark (true) modules.
type Door struct {
	Address string
	Size    int
	Path    string
}

// Device is one that was let in.
type Device struct {
	ID, Name, Since, Seen string
	This                  bool
}

// Missing is the page for an address that leads nowhere.
type Missing struct {
	Frame
	What string
}
