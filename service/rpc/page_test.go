package rpc

import (
	"testing"

	pb "example.com/lugbook/api/lugbook/v1"

	"github.com/stretchr/testify/assert"
)

func TestTokensLeadBackToTheirPlace(t *testing.T) {
	request := &pb.ListQuotesRequest{Text: "lamp", PageSize: 5}
	for _, from := range []int{1, 7, 1 << 40} {
		in := &intake{}
		token := in.page(5, "", "", request).token(from)
		p := in.page(9, token, "", &pb.ListQuotesRequest{Text: "lamp", PageSize: 9, PageToken: token})
		assert.Empty(t, in.bad)
		assert.Equal(t, from, p.from)
		assert.Equal(t, 9, p.size)
	}
}

// A token is either one that was given out for this request, or refused.
func FuzzPageToken(f *testing.F) {
	request := &pb.ListQuotesRequest{Text: "lamp"}
	given := (&intake{}).page(5, "", "", request).token(17)
	f.Add(given)
	f.Add("")
	f.Add("AAAAAAAAAAAAAAAAAAAAAA")
	f.Fuzz(func(t *testing.T, token string) {
		in := &intake{}
		p := in.page(5, token, "", request)
		if len(in.bad) > 0 || token == "" {
			return
		}
		if p.from < 0 || p.token(p.from) != token {
			t.Fatalf("%q leads to %d", token, p.from)
		}
	})
}
