package server

import (
	"slices"
	"time"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/service/quoting"

	"google.golang.org/grpc/health/grpc_health_v1"
)

// Row is what holds for one method.
type Row struct {
	// Least is the role that may do least and still call it; empty: anybody, known or
	// not.
	Least quoting.Role
	Class Class
	// Longest is how long a call may take, whatever the caller allows; 0: as long as
	// its connection lasts.
	Longest time.Duration
	// Retry tells that sending the same request again does no harm: it only reads, or
	// carries a request id.
	Retry bool
}

// Class is how dear a call is, which its rate is limited by.
type Class string

// The classes.
const (
	Look   Class = "look"   // reads what is at hand
	Reckon Class = "reckon" // designs and prices
	Change Class = "change" // writes to the store
	Upload Class = "upload" // takes files and reads them through and through
)

// Longest times: far above what the largest request of the class takes (own choice, no
// source), so that only what is stuck meets them.
const (
	soon     = 10 * time.Second
	inTime   = 30 * time.Second
	atLength = 5 * time.Minute
	forever  = time.Duration(0)
)

// table has every method that the server answers.
var table = map[string]Row{
	pb.DesignService_SizeRun_FullMethodName:         {quoting.Public, Reckon, inTime, true},
	pb.DesignService_DesignSystem_FullMethodName:    {quoting.Public, Reckon, inTime, true},
	pb.DesignService_PlanTermination_FullMethodName: {quoting.Public, Reckon, soon, true},
	pb.DesignService_DescribeFuse_FullMethodName:    {quoting.Public, Reckon, soon, true},
	pb.DesignService_BalanceCharging_FullMethodName: {quoting.Public, Reckon, inTime, true},

	pb.CatalogService_ListParts_FullMethodName:     {quoting.Public, Look, soon, true},
	pb.CatalogService_GetPart_FullMethodName:       {quoting.Public, Look, soon, true},
	pb.CatalogService_ListVehicles_FullMethodName:  {quoting.Public, Look, soon, true},
	pb.CatalogService_GetVehicle_FullMethodName:    {quoting.Public, Look, soon, true},
	pb.CatalogService_CheckCatalog_FullMethodName:  {quoting.Owner, Upload, atLength, true},
	pb.CatalogService_ImportCatalog_FullMethodName: {quoting.Owner, Upload, atLength, true},
	pb.CatalogService_ExportCatalog_FullMethodName: {quoting.Owner, Upload, atLength, true},
	pb.CatalogService_ListRevisions_FullMethodName: {quoting.Counter, Look, soon, true},
	pb.CatalogService_AdjustStock_FullMethodName:   {quoting.Counter, Change, inTime, true},
	pb.CatalogService_ListStock_FullMethodName:     {quoting.Counter, Look, soon, true},
	pb.CatalogService_ListShortages_FullMethodName: {quoting.Counter, Look, inTime, true},

	pb.QuoteService_PreviewQuote_FullMethodName:  {quoting.Public, Reckon, inTime, true},
	pb.QuoteService_CreateQuote_FullMethodName:   {quoting.Counter, Change, inTime, true},
	pb.QuoteService_GetQuote_FullMethodName:      {quoting.Counter, Look, soon, true},
	pb.QuoteService_ListQuotes_FullMethodName:    {quoting.Counter, Look, soon, true},
	pb.QuoteService_ReviseQuote_FullMethodName:   {quoting.Counter, Change, inTime, true},
	pb.QuoteService_AcceptQuote_FullMethodName:   {quoting.Counter, Change, inTime, true},
	pb.QuoteService_DeclineQuote_FullMethodName:  {quoting.Counter, Change, inTime, true},
	pb.QuoteService_WithdrawQuote_FullMethodName: {quoting.Counter, Change, inTime, true},
	pb.QuoteService_RequoteQuote_FullMethodName:  {quoting.Counter, Reckon, inTime, true},
	pb.QuoteService_EraseCustomer_FullMethodName: {quoting.Owner, Change, inTime, true},

	grpc_health_v1.Health_Check_FullMethodName:                       {"", Look, soon, true},
	grpc_health_v1.Health_List_FullMethodName:                        {"", Look, soon, true},
	grpc_health_v1.Health_Watch_FullMethodName:                       {"", Look, forever, true},
	"/grpc.reflection.v1.ServerReflection/ServerReflectionInfo":      {"", Look, time.Minute, true},
	"/grpc.reflection.v1alpha.ServerReflection/ServerReflectionInfo": {"", Look, time.Minute, true},
}

// Methods gives the table: every method by its full name, with what holds for it.
func Methods() map[string]Row {
	out := make(map[string]Row, len(table))
	for name, row := range table {
		out[name] = row
	}
	return out
}

// May tells that somebody of a role may call the method.
func (r Row) May(role quoting.Role) bool { return atLeast(role, r.Least) }

// atLeast tells that a role may do what another may. One that is none may do nothing.
func atLeast(role, least quoting.Role) bool {
	return least == "" || slices.Index(quoting.Roles(), role) >= slices.Index(quoting.Roles(), least)
}
