package flow

// The numbers of this room (common practice, no source, but where one is named).
const (
	likely  = 0.75 // share: how likely a place must be to be gone by: as for a mistake to be told
	lost    = 0.75 // beats: a stroke that is out by so much is a beat too many or too few; less is rubato
	stopped = 2.0  // beats: of silence beyond what was due that make a stop: a singer breathes in one
	broken  = 0.4  // share of the time that was due: by which it must be off, too: a tempo changes by less
)
