package score_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

func TestAScoreComesBackFromJSON(t *testing.T) {
	s, err := score.Build(material.DemoChart(t, "clementine"), material.Shipped(t, "waltz"), score.Options{Only: score.LeftAlone})
	require.NoError(t, err)
	text, err := json.Marshal(s)
	require.NoError(t, err)
	var back score.Score
	require.NoError(t, json.Unmarshal(text, &back))
	assert.Equal(t, s.Key, back.Key)
	assert.Equal(t, s.Only, back.Only)
	assert.Equal(t, s.Wants, back.Wants)
	assert.Equal(t, s.Harmonies, back.Harmonies)
	assert.Equal(t, s.Melody, back.Melody)
	again, err := json.Marshal(&back)
	require.NoError(t, err)
	assert.JSONEq(t, string(text), string(again))
	assert.Error(t, json.Unmarshal([]byte(`{"Only":"none"}`), &back))
}
