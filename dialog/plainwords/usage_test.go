package plainwords

import (
	"reflect"
	"slices"
	"testing"

	"ruleout/kb"
)

// Every use of the list goes somewhere, and the reader wants none that the list
// does not know.
func TestEveryUseIsRead(t *testing.T) {
	var list []kb.Usage
	uses := append(slices.Clone(kb.Uses), kb.SayingUses...)
	for _, use := range uses {
		list = append(list, kb.Usage{Use: use, Words: []string{use}})
	}
	v := reflect.ValueOf(newUsage(list))
	if v.NumField() != len(uses) {
		t.Errorf("%d uses, %d places for them", len(uses), v.NumField())
	}
	for i := range v.NumField() {
		if v.Field(i).Len() != 1 {
			t.Errorf("%s holds %v", v.Type().Field(i).Name, v.Field(i))
		}
	}
}

// A reader without the list still reads what needs none of its words.
func TestReaderWithoutUsage(t *testing.T) {
	base := *looseBase(t)
	base.Usages = nil
	r := NewReader(&base)
	for s, want := range map[string]string{"gets hot in traffic": "overheats=present", "battery is 12.4 volts": "battery-rest-voltage~12.400"} {
		if got := facts(r.Read(s, Context{Chief: "overheats"})); !got[want] {
			t.Errorf("%q: %v", s, got)
		}
	}
	if got := facts(r.Read("new thermostat, no change", Context{Chief: "overheats"})); got["part:thermostat:replaced=same"] {
		t.Error("who knows no word of renewing reads a renewal")
	}
}
