package firstbass

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestDump(t *testing.T) {
	for _, name := range tuneNames() {
		for _, n := range []int{2, 3} {
			th := NewTheory(tuneOf(t, name, ""), n)
			var line []string
			for _, s := range th.Stretches() {
				var f []string
				for _, i := range s.Fits {
					mark := ""
					if i == s.Shown {
						mark = "*"
					}
					f = append(f, th.stock[i].Root.String()+mark)
				}
				line = append(line, strings.Join(f, ","))
				if s.To < th.s.Bars[s.Bar].At+th.s.Bars[s.Bar].Len {
					line = append(line, "+")
				} else {
					line = append(line, "|")
				}
			}
			t.Log(name, n, strings.Join(line, " "))
		}
	}
	assert.True(t, true)
}
