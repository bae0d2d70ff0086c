package cli

import (
	"io"

	"github.com/spf13/cobra"
)

type chartOptions struct{ file, key string }

func (a *App) chartCommand() *cobra.Command {
	o := &chartOptions{}
	c := &cobra.Command{
		Use:   "chart CHART",
		Short: "Check and print a chart, in its own key or another",
		Example: `  undersong chart red-river-valley.chart
  undersong chart red-river-valley.chart --key G`,
		Args: takes("a chart"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.file = args[0]
			return a.chart(o)
		},
	}
	bindKey(c.Flags(), &o.key)
	return c
}

func (a *App) chart(o *chartOptions) error {
	move, err := parseMove("key", o.key)
	if err != nil {
		return err
	}
	c, err := readChart(o.file)
	if err != nil {
		return err
	}
	key, err := keyFor(thisChart, c.Key, move)
	if err != nil {
		return err
	}
	moved := c
	if key != nil {
		moved = c.In(*key)
	}
	if _, err := io.WriteString(a.Out, moved.Text()); err != nil {
		return err
	}
	return a.checkAsked(c, o.file)
}
