package weather

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"sync/atomic"
	"time"
)

var errStalled = errors.New("too few octets came for too long")

// watch cancels a request that brings less than the slowest rate over the idle
// time. The answer's function must be called at the end; its other one is told
// of octets that came.
func (c *Client) watch(ctx context.Context) (watched context.Context, came func(int), stop func()) {
	watched, cancel := context.WithCancelCause(ctx)
	var count atomic.Int64
	least := int64(c.Settings.Slowest * c.Settings.Idle.Seconds())
	ticker := time.NewTicker(c.Settings.Idle)
	done := make(chan struct{})
	go func() {
		defer ticker.Stop()
		for {
			select {
			case <-done:
				return
			case <-ticker.C:
				if count.Swap(0) <= least {
					cancel(errStalled)
					return
				}
			}
		}
	}()
	return watched, func(n int) { count.Add(int64(n)) }, func() { close(done); cancel(nil) }
}

// text fetches a small file whole.
func (c *Client) text(ctx context.Context, address string, most int64) ([]byte, error) {
	c.begin()
	var data []byte
	err := c.try(ctx, func() (bool, error) {
		watched, came, stop := c.watch(ctx)
		defer stop()
		answer, err := c.ask(watched, address, wholeFile, "")
		if err != nil {
			return false, err
		}
		defer answer.Body.Close()
		var b bytes.Buffer
		if _, err = c.pour(watched, address, &b, answer, most, came); err != nil {
			return false, err
		}
		data = b.Bytes()
		if looksLikePage(data) {
			return false, page(address, data)
		}
		return false, nil
	})
	return data, err
}

// pour copies a body, at most so many octets, and checks that it has the length
// that was announced. Errors of the connection can be tried again; those of
// the disk cannot.
func (c *Client) pour(ctx context.Context, address string, to io.Writer, answer *http.Response, most int64, came func(int)) (int64, error) {
	buffer := make([]byte, 64<<10)
	total := int64(0)
	for {
		n, err := answer.Body.Read(buffer)
		came(n)
		if total+int64(n) > most {
			return total, &DamageError{address, fmt.Sprintf("more than the %d octets that were expected came", most)}
		}
		if n > 0 {
			if _, err := to.Write(buffer[:n]); err != nil {
				return total, err
			}
			total += int64(n)
		}
		switch {
		case err == io.EOF && answer.ContentLength >= 0 && total != answer.ContentLength:
			return total, &again{err: &AwayError{address, fmt.Errorf("%d of %d octets came", total, answer.ContentLength)}}
		case err == io.EOF:
			return total, nil
		case err != nil:
			return total, connectionError(ctx, address, err)
		}
	}
}
