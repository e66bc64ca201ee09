//go:build unix

package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"syscall"
	"testing"
)

// A pipe or a device is written to: it must not be replaced by a file.
func TestWriteFileLeavesWhatIsNoFile(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "pipe")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Skip("no pipes here: ", err)
	}
	heard := make(chan string)
	go func() {
		data, err := os.ReadFile(pipe)
		heard <- fmt.Sprint(string(data), err)
	}()
	if err := writeFile(pipe, []byte("way")); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Lstat(pipe); err != nil || info.Mode().Type() != os.ModeNamedPipe {
		t.Fatalf("%v is there in the pipe's place (%v)", info.Mode(), err)
	}
	if got := <-heard; got != "way<nil>" {
		t.Errorf("heard %q", got)
	}
}
