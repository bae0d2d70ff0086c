package capture

import (
	"fmt"
	"strings"
	"testing"

	"undersong/internal/sheet/pattern"
	"undersong/internal/test/material"
)

// inventedPatterns are in no catalogue, and nothing was tuned on them: how a
// teacher's own fare. Meter, grid, feel; then the rows.
const inventedPatterns = `
answer-late: 4/4 quarters | right: ch . ch ch | left: 1 - 5 -
down-and-up: 4/4 eighths | left: 1 5 8 5 3 5 8 5
off-centre: 4/4 eighths | right: . . ch . . ch . . | left: 1 - - - 5 - - -
skipping-three: 3/4 eighths | right: . . ch ch . ch | left: 1 . . . 5 .
bass-at-both-ends: 3/4 quarters | right: . ch . | left: 1 . 5
rocking-boat: 6/8 eighths | left: 1 - 5 8 - 5
late-pairs: 6/8 eighths | right: . . ch . ch ch | left: 1 - - 5 - -
three-after-one: 2/4 eighths | right: . ch ch ch | left: 1 . . .
long-short-twelve: 12/8 eighths | left: 1 - 5 8 - 5 1 - 5 10 - 8
five-in-two-hands: 5/4 quarters | right: ch - - ch - | left: 1 5 8 5 3
five-with-a-turn: 5/4 eighths | left: 1 - 5 8 10 8 5 - 3 5
sixths-swung: 4/4 eighths swung 2:1 | right: . ch . . . ch . ch | left: 1 - 5 - 6 - 5 -
question-and-answer: 4/4 quarters | right: ch . ch . / ch ch ch . | left: 1 - - - / 5, - - -
two-bar-wave: 3/4 quarters | left: 1 5 8 / 10 8 5
sixteenth-chatter: 4/4 sixteenths | right: . . ch . . . ch . . . ch . . ch ch . | left: 1 - - - 1 - - - 1 - - - 1 - - -
long-and-short: 3/4 quarters | right: ch - ch | left: 1 - -
octave-between: 4/4 quarters | left: 1 8 5 8
early-four: 4/4 eighths | right: >ch . . ch . . >ch . | left: 1 - - - 5 - - -
six-up-and-back: 6/8 eighths | left: 1 5 8 5 8 5
three-answers: 4/4 quarters | right: . ch ch ch | left: 1 . . .
pairs-in-two: 2/4 sixteenths | right: . ch ch . . ch ch . | left: 1 - - - 5 - - -
triplet-afterbeats: 4/4 triplets | right: . ch ch . ch ch . ch ch . ch ch | left: 1 - - 5 - - 1 - - 5 - -
half-note-steps: 4/4 halves | right: ch ch | left: 1 5,
tenth-and-back: 3/4 eighths | left: 1 5 10 5 8 5
`

func invented(t testing.TB) []*pattern.Pattern {
	t.Helper()
	var all []*pattern.Pattern
	for _, line := range strings.Split(strings.TrimSpace(inventedPatterns), "\n") {
		name, rest, _ := strings.Cut(line, ": ")
		parts := strings.Split(rest, " | ")
		head := strings.SplitN(parts[0], " ", 3)
		text := fmt.Sprintf("name: %s\nsounds: invented\nlevel: 1\nmeter: %s\ngrid: %s\nlengths: free\n", name, head[0], head[1])
		if len(head) > 2 {
			text += "feel: " + head[2] + "\n"
		}
		text += "\n" + strings.ReplaceAll(strings.Join(parts[1:], "\n"), " / ", " | ") + "\n"
		all = append(all, material.Pattern(t, text))
	}
	return all
}
