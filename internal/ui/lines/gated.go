package lines

import "undersong/internal/session/sitting"

// Gated is a writer that is told at most one correction a bar.
type Gated struct {
	sitting.Writer
	Gate sitting.Gate
}

// Findings passes on what the gate lets through.
func (g *Gated) Findings(found []sitting.Item) error {
	if chosen := g.Gate.Choose(found); len(chosen) > 0 {
		return g.Writer.Findings(chosen)
	}
	return nil
}
