//go:build cgo && !linux && !jack

package port

func newWatch() (watch, error) { return unwatched{}, nil }

// unwatched is a system that tells nothing.
type unwatched struct{}

func (unwatched) joined(string, string) (joined, sure bool) { return false, false }
func (unwatched) stopped() bool                             { return false }
func (unwatched) relinks() bool                             { return false }
func (unwatched) close()                                    {}
