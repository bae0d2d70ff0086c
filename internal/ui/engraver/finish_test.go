package engraver

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What verovio 6.3.0 writes, and what is handed out.
func TestFinishing(t *testing.T) {
	const tempo = "<text x=\"998\" y=\"1650\" font-size=\"0px\">\n<tspan id=\"a\" class=\"rend\">\n<tspan id=\"b\" class=\"text\">\n<tspan font-family=\"Leipzig\" font-size=\"600px\">%</tspan>"
	sign := func(text, s string) string { return strings.Replace(text, "%", s, 1) }
	head := `<g class="pgHead"><text><tspan text-anchor="middle"><tspan font-size="300px">T</tspan></tspan></text>`
	assert.Equal(t, `<g class="pgHead"><text><tspan text-anchor="middle"><tspan font-weight="bold" font-size="510px">T</tspan></tspan></text>`, finished(head, A4, true), "a title is seen as one")
	assert.Equal(t, head, finished(head, A4, false))
	assert.Equal(t, `<svg width="215.9mm" height="279.4mm" viewBox="0 0 1 1">`, finished(`<svg viewBox="0 0 1 1">`, Letter, false))
	assert.Contains(t, finished(`<svg font-family="Liberation, serif">`, A4, false), "'Times New Roman'", "fonts of the same widths")

	quarter := finished(sign(tempo, "\uECA5"), A4, false)
	assert.Contains(t, quarter, `<ellipse cx="1100" cy="1578" rx="102" ry="72" fill="currentColor"`)
	assert.Contains(t, quarter, `<text x="1277"`, "the text begins behind the note")
	assert.NotContains(t, quarter, "\uECA5")
	assert.NotContains(t, quarter, "<circle")
	half := finished(sign(tempo, "\uECA3\uECB7"), A4, false)
	assert.Contains(t, half, `fill="none"`)
	assert.Contains(t, half, "<circle", "dotted")

	flat := finished("<tspan font-family=\"Leipzig\" font-size=\"600px\">\uEA64</tspan>", A4, false)
	assert.Contains(t, flat, `font-size="312px">♭</tspan>`)
	assert.NotContains(t, flat, "Leipzig")
	assert.Equal(t, "<tspan>7/F×</tspan>", finished("<tspan>7/F𝄪</tspan>", A4, false))
}
