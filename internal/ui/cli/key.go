package cli

import (
	"github.com/spf13/pflag"

	"undersong/internal/music/pitch"
)

// bindKey binds --key where it moves a chart.
func bindKey(f *pflag.FlagSet, key *string) {
	f.StringVar(key, "key", "", "in another `KEY`, such as G, or Am for a chart in minor; or so far away: \"a third lower\", +2, \"capo 3\"")
}

// parseMove reads a key that something is moved to, nil for "": flag names it.
func parseMove(flag, s string) (*pitch.Move, error) {
	if s == "" {
		return nil, nil
	}
	m, err := pitch.ParseMove(s)
	if err != nil {
		return nil, usagef("--%s: %w", flag, err)
	}
	return &m, nil
}

// keyFor is the key that something is moved to; nil where it is not. A key of the
// other mode is refused: moving a chart keeps its mode, and what is major does not
// become minor. what is what has the key, such as "this chart is".
func keyFor(what string, home pitch.Key, move *pitch.Move) (*pitch.Key, error) {
	if move == nil {
		return nil, nil
	}
	key := move.From(home)
	if key.Minor == home.Minor {
		return &key, nil
	}
	mode, other, example := "major", "minor", pitch.Key{Tonic: key.Tonic}
	if home.Minor {
		mode, other, example.Minor = "minor", "major", true
	}
	return nil, usagef("--key %s: %s in %s %s: name a %s key, such as %s; for %s %s a chart has to be written in %s",
		key, what, home.Tonic, mode, mode, example, key.Tonic, other, other)
}

// thisChart begins a sentence about the key.
const thisChart = "this chart is"

// parseKey reads a key that nothing is moved to, nil for "": flag names it.
func parseKey(flag, s string) (*pitch.Key, error) {
	if s == "" {
		return nil, nil
	}
	k, err := pitch.ParseKey(s)
	if err != nil {
		if m, far := pitch.ParseMove(s); far == nil && !m.Named() {
			return nil, usagef("--%s %q: there is nothing to count from; name the key, such as G or Am", flag, s)
		}
		return nil, usagef("--%s: %w", flag, err)
	}
	return &k, nil
}
