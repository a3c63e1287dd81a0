package storetest

import (
	"fmt"
	"time"

	"example.com/lugbook/service/quoting"
)

// noon is a time that all here happens around.
var noon = time.Date(2026, time.March, 9, 12, 0, 0, 123456000, time.UTC)

// number is the number of the quote with a running number.
func number(running int64) string { return fmt.Sprintf("2026-%05d", running) }

// head is a quote with every field set.
func head(running int64) quoting.Head {
	return quoting.Head{
		Number: number(running), Running: running, Revision: 1, State: quoting.Open, Version: 1,
		Customer:  quoting.Contact{Name: "Ada Beispiel", Phone: "+1 555 0100", Email: "ada@shop.example", Reference: "PO 17", Words: []string{"ada", "beispiel", "17"}},
		VehicleID: "camper-van", VehicleLabel: "the white van", VehicleWords: []string{"camper", "van", "white"},
		Total: "1234.50", Currency: "EUR",
		CreateTime: noon.Add(time.Duration(running) * time.Minute), UpdateTime: noon.Add(time.Duration(running)*time.Minute + time.Second),
		ValidUntil: noon.AddDate(0, 1, 0), EraseTime: noon.AddDate(2, 0, 0),
		Words: []string{number(running), "fridge", "inverter"},
	}
}

// plain is a quote that was just made, of nobody and with no words.
func plain(running int64) quoting.Head {
	return quoting.Head{
		Number: number(running), Running: running, Revision: 1, State: quoting.Open, Version: 1, Total: "0", Currency: "EUR",
		CreateTime: noon, UpdateTime: noon, ValidUntil: noon.AddDate(0, 1, 0),
	}
}

// revision is a revision with every field set.
func revision(number string, n int) quoting.Revision {
	return quoting.Revision{
		Number: number, Revision: n, CreateTime: noon, Format: 3,
		Snapshot: []byte("the reply\x00\xff"), Job: []byte("the job"), Personal: []byte("the customer and the remarks"),
		RulesVersion: "2026.1", CatalogRevision: "sha256:ab", Language: "en-GB", TimeZone: "Europe/Lisbon",
	}
}

// event is an event with every field set.
func event(number string, deed quoting.Deed) quoting.Event {
	return quoting.Event{Number: number, Revision: 1, Time: noon, Deed: deed, Caller: "counter-1", Staff: "Kim", Reason: "asked by phone"}
}

// document is a document with every field set.
func document(number string, revision int, kind string) quoting.Document {
	return quoting.Document{Number: number, Revision: revision, Kind: kind, MediaType: "application/pdf", CreateTime: noon, Bytes: []byte("%PDF\x00")}
}

// done is a deed with every field set.
func done(caller, requestID, number string) quoting.Done {
	return quoting.Done{Caller: caller, RequestID: requestID, Sum: []byte{0, 1, 2, 255}, Number: number, Revision: 1, State: quoting.Open, Version: 1, Time: noon}
}

// catalogRevision is a catalog with every field set.
func catalogRevision(revision string) quoting.CatalogRevision {
	return quoting.CatalogRevision{Revision: revision, CreateTime: noon, Caller: "owner", Note: "spring prices", Files: []byte("PK\x03\x04")}
}

// add stores quotes.
func add(heads ...quoting.Head) func(quoting.Writer) error {
	return func(w quoting.Writer) error {
		for _, h := range heads {
			if err := w.AddQuote(h); err != nil {
				return err
			}
		}
		return nil
	}
}

// numbers gives the running numbers of quotes.
func runnings(heads []quoting.Head) []int64 {
	all := make([]int64, len(heads))
	for i, h := range heads {
		all[i] = h.Running
	}
	return all
}
