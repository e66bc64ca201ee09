package weather

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"sync"
	"time"
)

// Client speaks to archives: few connections, bounded tries with a growing and
// scattered pause between, no longer wait than the person is asked to bear.
type Client struct {
	Settings *Settings
	Random   *rand.Rand                                           // scatters the pauses
	Now      func() time.Time                                     // this machine's clock
	Sleep    func(ctx context.Context, pause time.Duration) error // nil: really sleeps
	Warn     func(text string)                                    // nil: nobody listens

	once sync.Once
	http *http.Client
	lock sync.Mutex
	skew time.Duration // server's clock minus ours
	met  bool          // the skew is known
}

const (
	mostRedirects = 5
	dialPatience  = 15 * time.Second
	agent         = "pappus (balloon flight desk)"
)

// begin builds the connection pool. Addresses of folders are answered by the
// same machinery, so that a copy on disk is read as a server would be.
func (c *Client) begin() {
	c.once.Do(func() {
		dial := &net.Dialer{Timeout: dialPatience}
		transport := &http.Transport{
			Proxy: http.ProxyFromEnvironment, DialContext: dial.DialContext, TLSHandshakeTimeout: dialPatience,
			MaxIdleConnsPerHost: c.Settings.Connections, MaxConnsPerHost: c.Settings.Connections, IdleConnTimeout: 30 * time.Second,
			DisableCompression: true, ForceAttemptHTTP2: true,
		}
		transport.RegisterProtocol("file", http.NewFileTransport(http.Dir("/")))
		c.http = &http.Client{Transport: transport, CheckRedirect: checkRedirect}
	})
}

// Close lets go of idle connections.
func (c *Client) Close() {
	c.begin()
	c.http.CloseIdleConnections()
}

// checkRedirect follows a few redirects, never from a secured connection to an
// open one, and never to anything but the web.
func checkRedirect(next *http.Request, before []*http.Request) error {
	switch {
	case len(before) > mostRedirects:
		return &RedirectError{fmt.Sprintf("the server sends from one address to the next, more than %d times", mostRedirects)}
	case next.URL.Scheme != "http" && next.URL.Scheme != "https":
		return &RedirectError{fmt.Sprintf("the server sends to %s, which is no web address", next.URL.Redacted())}
	case before[len(before)-1].URL.Scheme == "https" && next.URL.Scheme != "https":
		return &RedirectError{fmt.Sprintf("the server sends from a secured connection to an open one, %s, which is not followed", next.URL.Redacted())}
	}
	return nil
}

// span is the part of a file to ask for; to is -1 for its end.
type span struct{ from, to int64 }

var wholeFile = span{0, -1}

// ask sends one request and answers its body once the status is good: 200 for a
// whole file, 206 for a part.
func (c *Client) ask(ctx context.Context, address string, s span, etag string) (*http.Response, error) {
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	if err != nil {
		return nil, fmt.Errorf("%s: this is no address: %w", address, err)
	}
	request.Header.Set("User-Agent", agent)
	if s != wholeFile {
		last := ""
		if s.to >= 0 {
			last = strconv.FormatInt(s.to, 10)
		}
		request.Header.Set("Range", fmt.Sprintf("bytes=%d-%s", s.from, last))
		if etag != "" {
			request.Header.Set("If-Range", etag)
		}
	}
	answer, err := c.http.Do(request)
	if err != nil {
		return nil, connectionError(ctx, address, err)
	}
	c.compareClocks(answer)
	if err := c.status(answer, address, s); err != nil {
		answer.Body.Close()
		return nil, err
	}
	return answer, nil
}

// status tells a good answer from the others.
func (c *Client) status(answer *http.Response, address string, s span) error {
	switch code := answer.StatusCode; {
	case code == http.StatusOK || code == http.StatusPartialContent:
		if strings.HasPrefix(answer.Header.Get("Content-Type"), "text/html") {
			begin, _ := io.ReadAll(io.LimitReader(answer.Body, 200))
			return page(address, begin)
		}
		if s == wholeFile && code == http.StatusPartialContent {
			return &RangeError{Address: address, Text: "the server answered with a part of the file where the whole was asked for"}
		}
		return nil
	case code == http.StatusNotFound, code == http.StatusForbidden, code == http.StatusGone:
		return &NotThereError{address} // open archives say "forbidden" of what is not there
	case code == http.StatusRequestedRangeNotSatisfiable:
		return &RangeError{Address: address, Text: fmt.Sprintf("the file is shorter than its index says (octet %d is not there): it may still be on its way into the archive; try again in some minutes", s.from), Short: true}
	case code == http.StatusTooManyRequests, code == http.StatusServiceUnavailable:
		wait, told := retryAfter(answer, c.Now())
		if told && wait > c.Settings.Patience {
			return &BusyError{address, wait}
		}
		return &again{after: wait, err: &StatusError{address, code}}
	case code >= 500, code == http.StatusRequestTimeout:
		return &again{err: &StatusError{address, code}}
	default:
		return &StatusError{address, code}
	}
}

func page(address string, begin []byte) error {
	text := strings.Join(strings.Fields(string(begin)), " ")
	if len(text) > 60 {
		text = text[:60]
	}
	return &PageError{address, strings.ToValidUTF8(text, "?")}
}

// looksLikePage tells a web page by its first letters, for servers that lie
// about what they send.
func looksLikePage(data []byte) bool {
	return strings.HasPrefix(strings.TrimLeft(string(data[:min(len(data), 100)]), " \t\r\n\ufeff"), "<")
}

// again marks an error after which another try makes sense.
type again struct {
	after time.Duration // at least
	err   error
}

func (e *again) Error() string { return e.err.Error() }
func (e *again) Unwrap() error { return e.err }

// retryAfter reads how long a server asks to wait: seconds, or an instant by
// the server's own clock.
func retryAfter(answer *http.Response, now time.Time) (time.Duration, bool) {
	text := answer.Header.Get("Retry-After")
	if n, ok := natural(text); ok && n < 1e9 {
		return time.Duration(n) * time.Second, true
	}
	when, err := http.ParseTime(text)
	if err != nil {
		return 0, false
	}
	if theirs, err := http.ParseTime(answer.Header.Get("Date")); err == nil {
		now = theirs
	}
	return max(when.Sub(now), 0), true
}

// compareClocks notes how this machine's clock differs from a server's.
func (c *Client) compareClocks(answer *http.Response) {
	theirs, err := http.ParseTime(answer.Header.Get("Date"))
	if err != nil {
		return
	}
	c.lock.Lock()
	first := !c.met
	if first {
		c.met, c.skew = true, theirs.Sub(c.Now())
	}
	skew := c.skew
	c.lock.Unlock()
	if first && skew.Abs() > mostSkew && c.Warn != nil {
		c.Warn(fmt.Sprintf("this machine's clock and the server's differ by %v: the server's is used to find the newest cycle", skew.Abs().Round(time.Minute)))
	}
}

// mostSkew is how far clocks may differ without a word: it changes no cycle.
const mostSkew = 15 * time.Minute

// now is the time by the server's clock once one has answered.
func (c *Client) now() time.Time {
	c.lock.Lock()
	defer c.lock.Unlock()
	if c.skew.Abs() > mostSkew {
		return c.Now().Add(c.skew)
	}
	return c.Now()
}

func connectionError(ctx context.Context, address string, err error) error {
	var redirect *RedirectError
	switch {
	case errors.Is(context.Cause(ctx), errStalled):
		return &again{err: &AwayError{address, errStalled}}
	case ctx.Err() != nil:
		return ctx.Err()
	case errors.As(err, &redirect):
		return fmt.Errorf("%s: %w", address, redirect)
	}
	var inner *url.Error
	if errors.As(err, &inner) {
		err = inner.Err
	}
	return &again{err: &AwayError{address, err}}
}

// The pauses between tries: half a second, doubled each time up to half a
// minute, and each anything between half of that and all of it.
const (
	firstPause   = 500 * time.Millisecond
	longestPause = 30 * time.Second
)

// try repeats a request while that makes sense. work tells whether it got any
// further; then the count begins anew, for a slow line is not a broken one.
func (c *Client) try(ctx context.Context, work func() (further bool, err error)) error {
	pause := firstPause
	for n := 1; ; n++ {
		further, err := work()
		var more *again
		if err == nil || ctx.Err() != nil || !errors.As(err, &more) {
			return err
		}
		if further {
			n, pause = 1, firstPause
		}
		if n >= c.Settings.Tries {
			return more.err
		}
		c.lock.Lock()
		scattered := pause/2 + time.Duration(c.Random.Int64N(int64(pause/2)+1))
		c.lock.Unlock()
		if err := c.sleep(ctx, max(scattered, more.after)); err != nil {
			return err
		}
		pause = min(2*pause, longestPause)
	}
}

func (c *Client) sleep(ctx context.Context, pause time.Duration) error {
	if c.Sleep != nil {
		return c.Sleep(ctx, pause)
	}
	timer := time.NewTimer(pause)
	defer timer.Stop()
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-timer.C:
		return nil
	}
}
