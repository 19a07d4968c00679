package plainwords

// asEver reports whether a word, with the two before it, says that something is
// as it always was, or as it should be: "comes on for two seconds like it always
// did".
func asEver(w, before, first string) bool {
	likened := func(w string) bool { return w == "as" || w == "like" }
	switch w {
	case "always", "should":
		return likened(first) || likened(before)
	case "normal", "usual":
		return likened(before)
	}
	return false
}

// wouldBe reports whether a clause says what it would be and the next what it
// is: "a tick would be the top end, this is a thud".
func wouldBe(toks []token, a, b *voice) bool {
	if a.first < 0 || b.first < 0 || a.sent != b.sent || b.first+1 > b.last {
		return false
	}
	is := func(k int) bool { w := toks[k].norm; return w == "is" || w == "was" || w == "s" }
	switch toks[b.first].norm {
	case "this", "it", "that":
		if !is(b.first + 1) {
			return false
		}
	case "its", "thats":
	default:
		return false
	}
	for k := a.first; k < a.last && k < a.first+8; k++ {
		if toks[k].norm == "would" && toks[k+1].norm == "be" {
			return true
		}
	}
	return false
}

// inTimeOver reports whether a clause tells how something was in a time that is over:
// "it was fine last year".
func (t *turn) inTimeOver(clause int32) bool {
	v := &t.voices[clause]
	was := false
	for k := max(v.first, 0); k <= v.last && v.first >= 0; k++ {
		switch t.toks[k].norm {
		case "was", "were", "had", "used":
			was = true
		case "last":
			switch t.word(k, 1) {
			case "year", "month", "winter", "summer", "autumn", "spring", "season":
				return was
			}
		}
	}
	return false
}
