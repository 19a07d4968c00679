package chat

import (
	"ruleout/dialog/learn"
	"ruleout/server/casebook"
)

// Book is where cases are kept; casebook.Store is one.
type Book interface {
	Create(id string, a casebook.About) error
	Append(id string, r casebook.Record) error
	About(id string) (casebook.About, error)
	Turns(id string) ([]casebook.Record, error)
	List() ([]casebook.Summary, error)
	Adopt(id, vehicle string) error
	End(id string, e *casebook.Ended) error
	Delete(id string) error

	Lines() (map[string]casebook.Line, error)
	KeepLines(map[string]casebook.Line) error

	Attach(id string, a casebook.Attached) (int, error)
	AttachPhoto(id string, a casebook.Attached, kind string, data []byte) (int, string, error)
	Attached(id string) ([]casebook.Attached, error)
	Detach(id string, n int) error
	Photo(name string) ([]byte, error)

	PutVehicle(casebook.Vehicle) error
	Vehicle(id string) (casebook.Vehicle, error)
	Vehicles() ([]casebook.Vehicle, error)
	DeleteVehicle(id string) error
	VehicleOf() (map[string]string, error)

	Whole(id string) (casebook.Whole, error)
	Import([]casebook.Whole, []casebook.Vehicle, map[string][]byte) (casebook.Imported, error)
	Foreign() (learn.Ledger, error)
	MergeForeign(learn.Ledger) error
}
