package score

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/test/material"
)

// Another accompaniment over the same bars is what it would be if it had been asked for.
func TestRelaid(t *testing.T) {
	c := material.Chart(t, "title: T\nkey: C\nmeter: 4/4\n\n| C | F | G7 | C |\n")
	s, err := Build(c, material.Shipped(t, "two-beat"), Options{})
	require.NoError(t, err)
	was := len(s.Wants)
	want, err := Build(c, material.Shipped(t, "driving-eighths"), Options{})
	require.NoError(t, err)
	got, err := s.Relaid(want.Pattern)
	require.NoError(t, err)
	assert.Equal(t, want.Wants, got.Wants)
	assert.Equal(t, want.Bars, got.Bars)
	assert.Len(t, s.Wants, was, "the score is as it was")
	assert.Equal(t, "two-beat", s.Bars[0].Pattern.Name)

	_, err = s.Relaid(material.Shipped(t, "waltz"))
	assert.ErrorAs(t, err, new(*MeterError))
	_, err = s.Relaid(material.Shipped(t, "tune-and-bass"))
	assert.ErrorAs(t, err, new(*TuneError))
}
