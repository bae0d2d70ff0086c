//go:build !cgo

package port

import "time"

// NewRtMidi gives a driver whose every call fails with ErrNoLivePorts.
func NewRtMidi(func() time.Duration) Driver { return noPorts{} }

type noPorts struct{}

func (noPorts) Name() string                    { return "none" }
func (noPorts) Inputs() ([]string, error)       { return nil, ErrNoLivePorts }
func (noPorts) Outputs() ([]string, error)      { return nil, ErrNoLivePorts }
func (noPorts) OpenIn(string, Sink) (In, error) { return nil, ErrNoLivePorts }
func (noPorts) OpenOut(string) (Out, error)     { return nil, ErrNoLivePorts }
func (noPorts) Close() error                    { return nil }
