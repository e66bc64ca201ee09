//go:build !unix

package weather

// lockFolder does nothing where the system has no such lock: two fetches of one
// cycle at once then spoil each other's parts, which the checks find.
func lockFolder(string) (unlock func(), err error) { return func() {}, nil }
