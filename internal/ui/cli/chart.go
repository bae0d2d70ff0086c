package cli

import (
	"io"

	"github.com/spf13/cobra"

	"undersong/internal/sheet/chart"
	"undersong/internal/text/file"
)

type chartOptions struct{ file, key string }

func (a *App) chartCommand() *cobra.Command {
	o := &chartOptions{}
	c := &cobra.Command{
		Use:   "chart CHART",
		Short: "Print a chart, in its own key or another",
		Example: `  undersong chart red-river-valley.chart
  undersong chart red-river-valley.chart --key G`,
		Args: takes("a chart"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.file = args[0]
			return a.chart(o)
		},
	}
	c.Flags().StringVar(&o.key, "key", "", "move it to another `KEY`, such as G, or Am for a chart in minor")
	return c
}

func (a *App) chart(o *chartOptions) error {
	key, err := parseKey(o.key)
	if err != nil {
		return err
	}
	c, err := file.Parse(o.file, chart.MaxBytes, chart.Parse)
	if err != nil {
		return err
	}
	if err := checkKey(thisChart, c.Key, key); err != nil {
		return err
	}
	if key != nil {
		c = c.In(*key)
	}
	_, err = io.WriteString(a.Out, c.Text())
	return err
}
