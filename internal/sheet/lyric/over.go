package lyric

// decorated are the signs in which chords over words stand, and reading says what of
// such a chord stands over its syllable.
type decorated map[byte]reading

type reading uint8

const (
	atName  reading = iota // its name
	atSign                 // the sign before its name
	without                // its name, were the signs of the line not there
)

// weigh finds, for each kind of decoration, the reading by which most chords stand
// where a word or a syllable begins: the sheet decides.
func weigh(parts []part) decorated {
	hits := map[byte]*[3]int{}
	for i := range parts {
		for j := range parts[i].phrases {
			ph := &parts[i].phrases[j]
			if ph.inline || ph.text == "" {
				continue
			}
			starts := map[int]bool{}
			for _, at := range syllables(ph.text, ph.sung) {
				starts[at] = true
			}
			for _, t := range ph.chords {
				if t.mark != name || t.deco == 0 {
					continue
				}
				if hits[t.deco] == nil {
					hits[t.deco] = &[3]int{}
				}
				for r := range hits[t.deco] {
					if starts[t.over(reading(r))] {
						hits[t.deco][r]++
					}
				}
			}
		}
	}
	d := decorated{}
	for deco, h := range hits {
		best := atName
		if deco == '*' || deco == '[' {
			best = atSign
		}
		for r := range h {
			if h[r] > h[best] {
				best = reading(r)
			}
		}
		d[deco] = best
	}
	return d
}

// over is the column of a chord by a reading.
func (t token) over(r reading) int {
	switch r {
	case atSign:
		return t.col
	case without:
		return t.col - t.before
	}
	return t.col + t.in
}

// column is where a chord stands.
func (d decorated) column(t token) int {
	if t.deco == 0 {
		return t.col
	}
	return t.over(d[t.deco])
}
