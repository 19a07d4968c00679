package dialog

func (e *Engine) ZMatch(text string) ([]string, error) {
	h, err := e.matcher.Match(text, 5, "symptom")
	var out []string
	for _, x := range h { out = append(out, x.ID) }
	return out, err
}
