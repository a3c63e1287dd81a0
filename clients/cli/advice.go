package cli

import (
	"fmt"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"github.com/spf13/cobra"
	"google.golang.org/grpc/codes"
)

// reasonPrefix begins the names of the contract's error reasons.
const reasonPrefix = "ERROR_REASON_"

// errorReason reads the reason of an ErrorInfo, which leaves out what the names of
// all reasons begin with.
func errorReason(text string) lugbookv1.ErrorReason {
	text = strings.TrimPrefix(text, reasonPrefix)
	return lugbookv1.ErrorReason(lugbookv1.ErrorReason_value[reasonPrefix+text])
}

// adviceFor says what helps after a call went wrong.
func adviceFor(code codes.Code, reason string, metadata map[string]string, cmd *cobra.Command) string {
	switch errorReason(reason) {
	case lugbookv1.ErrorReason_ERROR_REASON_UNKNOWN_VEHICLE:
		return `"lugbook catalog vehicles" lists the vehicles`
	case lugbookv1.ErrorReason_ERROR_REASON_UNKNOWN_ZONE, lugbookv1.ErrorReason_ERROR_REASON_ROUTE_MISSING:
		return `"lugbook catalog vehicles ID" shows the zones of a vehicle and the ways between them`
	case lugbookv1.ErrorReason_ERROR_REASON_UNKNOWN_PART:
		return `"lugbook catalog parts" lists the parts`
	case lugbookv1.ErrorReason_ERROR_REASON_UNKNOWN_CATALOG:
		return `"lugbook catalog revisions" lists the revisions that are kept`
	case lugbookv1.ErrorReason_ERROR_REASON_CATALOG_CHANGED:
		return "repeat it with --dry-run to see what is different now"
	case lugbookv1.ErrorReason_ERROR_REASON_JOB_UNMET:
		return "change what binds, or take one of the nearest, and ask again"
	case lugbookv1.ErrorReason_ERROR_REASON_PAGE_TOKEN_INVALID:
		return "begin again without --page-token"
	case lugbookv1.ErrorReason_ERROR_REASON_INTERNAL:
		if id := metadata["request_id"]; id != "" {
			return "the server's log has the cause under the request id " + id
		}
	}
	if text := adviceForQuote(errorReason(reason), metadata["number"]); text != "" {
		return text
	}
	switch code {
	case codes.Unavailable:
		return "start the server, or leave --address and LUGBOOK_ADDRESS out to ask in this process"
	case codes.DeadlineExceeded:
		return "ask again; a large job may be divided"
	case codes.InvalidArgument:
		return fmt.Sprintf("%q explains what may be given", cmd.CommandPath()+" --help")
	case codes.PermissionDenied:
		if metadata["role"] != "" && !strings.HasSuffix(metadata["field"], "include_cost") {
			return "ask the shop's owner for a token of another role"
		}
		return "leave --cost out, or ask as the owner"
	case codes.Unauthenticated:
		return "give a token with --token-file or LUGBOOK_TOKEN; \"lugbookd token create\" on the server makes one"
	case codes.ResourceExhausted:
		return "wait a moment, and ask again"
	}
	return ""
}

// adviceForQuote says what helps after a call about a stored quote went wrong.
func adviceForQuote(reason lugbookv1.ErrorReason, number string) string {
	look := fmt.Sprintf("%q shows it as it is now", strings.TrimSpace("lugbook quotes show "+firstOf(number, "NUMBER")))
	switch reason {
	case lugbookv1.ErrorReason_ERROR_REASON_UNKNOWN_QUOTE:
		return `"lugbook quotes list" finds the quotes, "lugbook quotes show NUMBER" the latest revision of one`
	case lugbookv1.ErrorReason_ERROR_REASON_QUOTE_STATE, lugbookv1.ErrorReason_ERROR_REASON_NOT_LATEST_REVISION,
		lugbookv1.ErrorReason_ERROR_REASON_QUOTE_CHANGED:
		return look
	case lugbookv1.ErrorReason_ERROR_REASON_REQUEST_ID_REUSED:
		return "leave --request-id out, and a new one is made"
	case lugbookv1.ErrorReason_ERROR_REASON_STORE_FULL:
		return "nothing was lost; make room where the quotes are kept, and try again"
	case lugbookv1.ErrorReason_ERROR_REASON_STORE_READ_ONLY:
		return "ask whoever looks after the server, or the file, for leave to write"
	case lugbookv1.ErrorReason_ERROR_REASON_STORE_UNUSABLE:
		return "nothing was stored; mend the place where the quotes are kept, or name another"
	case lugbookv1.ErrorReason_ERROR_REASON_STORE_NEWER:
		return "use a Lugbook of the version that wrote the quotes, or a later one"
	case lugbookv1.ErrorReason_ERROR_REASON_NO_STORE:
		return "--address or LUGBOOK_ADDRESS names a server that keeps quotes"
	}
	return ""
}
