package cli

import (
	"os"
	"time"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"
)

// progress is a bar on a terminal, and nothing elsewhere.
type progress struct{ bar *progressbar.ProgressBar }

// progress begins a bar of so many bytes on standard error.
func (s *session) progress(size int64, what string) *progress {
	out, ok := s.cli.Stderr.(*os.File)
	if !ok || s.json || !term.IsTerminal(int(out.Fd())) || os.Getenv("TERM") == "dumb" {
		return &progress{}
	}
	const often = 100 * time.Millisecond
	return &progress{progressbar.NewOptions64(size, progressbar.OptionSetWriter(out), progressbar.OptionSetDescription(what), progressbar.OptionShowBytes(true),
		progressbar.OptionThrottle(often), progressbar.OptionClearOnFinish(), progressbar.OptionSetWidth(defaultWidth/4))}
}

// add tells that so many bytes more are done. The bar is only seen: what keeps it from
// being drawn keeps nothing else.
func (p *progress) add(bytes int) {
	if p.bar != nil {
		_ = p.bar.Add(bytes)
	}
}

// end takes the bar away; it may be called again.
func (p *progress) end() {
	if p.bar != nil {
		_ = p.bar.Clear()
		p.bar = nil
	}
}
