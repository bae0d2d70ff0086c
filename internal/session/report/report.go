// Package report writes down what was found: line by line for a reader, or as
// JSON lines for a program; ui/manual/json.md tells what those hold.
package report

import (
	"time"

	"undersong/internal/session/sitting"
)

// SchemaName names the JSON lines and their version.
const SchemaName = "undersong.findings/1"

// Writer takes a session as it happens. Every line is written at once.
type Writer interface {
	Start(sitting.Heading) error
	Finding(sitting.Item) error
	CountIn(sitting.CountIn) error
	// Notice tells of what is no finding, such as a keyboard that was unplugged.
	Notice(at time.Duration, text string) error
	Summary(sitting.Result) error
}
