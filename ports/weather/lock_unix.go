//go:build unix

package weather

import (
	"fmt"
	"os"
	"path/filepath"
	"syscall"
)

// lockFolder keeps a second fetch out of the same parts. The system lets go of
// the lock when the program ends, however it ends.
func lockFolder(folder string) (unlock func(), err error) {
	path := filepath.Join(folder, "lock")
	file, err := os.OpenFile(path, os.O_CREATE|os.O_WRONLY, 0o644)
	if err != nil {
		return nil, diskError(path, err)
	}
	if err := syscall.Flock(int(file.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		file.Close()
		return nil, fmt.Errorf("%s: another run of pappus is fetching the same cycle into this folder: wait until it ends", folder)
	}
	return func() { file.Close() }, nil
}
