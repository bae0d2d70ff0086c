package cli

import (
	"context"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"undersong/internal/play/playback"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

type playOptions struct {
	piece          pieceOptions
	in, out        string
	swing          string
	tune, noTune   bool
	force          bool
	human          bool
	click          bool
	countIn        int
	times          int
	loop           bool
	silent, plain  bool
	timesWereAsked bool
}

func (a *App) playCommand() *cobra.Command {
	o := &playOptions{}
	c := &cobra.Command{
		Use:   "play CHART",
		Short: "Hear how a pattern goes",
		Long: `Play sounds the chart's accompaniment on the instrument, with its tune where the
right hand is free, and shows the place in the chart and the keys that go down; q or
Ctrl-C ends it. With --out FILE.mid it writes a MIDI file instead.`,
		Example: `  undersong play red-river-valley.chart --pattern two-beat --tempo 60%
  undersong play clementine.chart --pattern waltz --bars 1-4 --loop --count-in 1
  undersong play clementine.chart --pattern waltz --key G --hand left --out waltz.mid`,
		Args: takes("a chart"),
		RunE: func(c *cobra.Command, args []string) error {
			o.piece.chart = args[0]
			o.timesWereAsked = c.Flags().Changed("times")
			return a.playDemonstration(c.Context(), o)
		},
	}
	o.bind(c)
	return c
}

func (o *playOptions) bind(c *cobra.Command) {
	o.piece.bindMusic(c)
	f := c.Flags()
	f.StringVar(&o.in, "in", "", "the keyboard on which commands are given: any part of the `PORT`'s name")
	f.StringVar(&o.out, "out", "", "the instrument: any part of its `PORT`'s name; or a MIDI file to write, which ends in .mid")
	f.StringVar(&o.swing, "swing", "", "another `FEEL` than the pattern's: straight, or long to short such as 2:1")
	f.BoolVar(&o.tune, "melody", false, "the chart's tune with it, whatever the pattern")
	f.BoolVar(&o.noTune, "no-melody", false, "without the chart's tune")
	f.BoolVar(&o.human, "human", false, "with a player's small unevenness")
	f.BoolVar(&o.click, "click", false, "with a click through the music")
	f.IntVar(&o.countIn, "count-in", 0, "`BARS` to count before the music")
	f.IntVar(&o.times, "times", 1, "how `OFTEN` it is played, 1 to 100")
	f.BoolVar(&o.loop, "loop", false, "round and round, until you stop it")
	f.BoolVar(&o.force, "force", false, "write over a file that is there")
	f.BoolVar(&o.plain, "plain", false, "a line for each bar instead of the screen")
	f.BoolVar(&o.silent, "silent", false, "to be seen only: nothing sounds, and no instrument is needed")
}

// mostTimes bounds a file's length.
const mostTimes = 100

// toFile reports that a file is to be written.
func (o *playOptions) toFile() bool { return strings.HasSuffix(strings.ToLower(o.out), ".mid") }

// soundFile reports the name of a file of a kind that is not written here, which
// would otherwise be looked for among the instruments.
func soundFile(name string) bool {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".midi", ".wav", ".mp3", ".ogg", ".flac", ".m4a", ".aac", ".wma", ".aiff", ".musicxml", ".pdf":
		return true
	}
	return false
}

func notWritten(name string) error {
	return usagef("--out %s: undersong writes MIDI files, which end in .mid", name)
}

// check looks at flags that bear on each other.
func (o *playOptions) check() error {
	switch {
	case o.countIn < 0 || o.countIn > mostCountIn:
		return usagef("--count-in %d is not a number of bars from 0 to %d", o.countIn, mostCountIn)
	case o.times < 1 || o.times > mostTimes:
		return usagef("--times %d is not a number from 1 to %d", o.times, mostTimes)
	case o.tune && o.noTune:
		return usagef("--melody and --no-melody exclude each other")
	case o.loop && o.toFile():
		return usagef("--loop never ends, and a file must: --times says how often")
	case o.loop && o.timesWereAsked:
		return usagef("--loop goes round until you stop it: leave --times out")
	case soundFile(o.out):
		return notWritten(o.out)
	case o.in != "" && o.toFile():
		return usagef("--in is for commands while it is played: leave it out where a file is written")
	case o.silent && o.out != "":
		return usagef("--silent sounds nothing: leave --out out")
	}
	return nil
}

func (a *App) playDemonstration(ctx context.Context, o *playOptions) error {
	if err := o.check(); err != nil {
		return err
	}
	p, s, err := a.demonstrated(o)
	if err != nil {
		return err
	}
	parts, err := o.parts(s)
	if err != nil {
		return err
	}
	perform := playback.Options{Parts: parts, Human: o.human, Seed: 1, CountIn: o.countIn, Click: o.click, Times: o.times}
	if o.toFile() {
		return a.writeParts(o, s, perform)
	}
	return a.show(ctx, o, p, s, perform)
}

// demonstrated is what is played.
func (a *App) demonstrated(o *playOptions) (*piece, *score.Score, error) {
	o.piece.level = "steady" // nobody is judged
	p, err := o.piece.load(a)
	if err != nil {
		return nil, nil, err
	}
	if o.swing != "" {
		swing, err := pattern.ParseSwing(o.swing)
		if err != nil {
			return nil, nil, asUsage(errorf("--%w", err))
		}
		if err := p.swing(swing); err != nil {
			return nil, nil, asUsage(err)
		}
	}
	s, err := a.built(p, o.loop)
	return p, s, err
}

// parts are the hands, and the tune where it is wanted.
func (o *playOptions) parts(s *score.Score) ([]playback.Part, error) {
	free := s.Pattern.Rows[pattern.Right] == nil && s.Only == score.BothHands
	switch {
	case o.tune && s.Pattern.PlaysTune():
		return nil, usagef("--melody: the pattern %s plays the tune already", s.Pattern.Name)
	case o.tune && len(s.Melody) == 0:
		return nil, usagef("--melody: no tune is written in these bars of the chart")
	case o.tune, free && !o.noTune && len(s.Melody) > 0:
		return append(playback.Hands(s), playback.Tune), nil
	}
	return playback.Hands(s), nil
}
