package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const table = `package listen

import "undersong/internal/music/chord"

const (
	missing = 1.8 // nats: a note left out
	window  = 50 * milliseconds // milliseconds: notes of one onset
	later   = -14 // points: below 0
	again   = 5.0 // nats: a place struck again
	nothing = 0.0 // nats: not moved
	twice   = 2 * missing // nats: derived
)

var plain = [...]Cost{
	chord.Major: 0, chord.Minor: 5,
}

var kinds = []kind{
	{chord.Sus4, 1.8, steps(5, 7)},
	{typ: chord.Sus2, share: map[int]float64{2: .29}},
}
`

func written(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "tuned.go")
	require.NoError(t, os.WriteFile(path, []byte(table), 0o600))
	return path
}

func TestNumbersAreFoundAndNamed(t *testing.T) {
	all, err := numbersIn(written(t))
	require.NoError(t, err)
	var got []string
	for _, n := range all {
		got = append(got, n.name+" "+n.text+" "+n.moved(true)+" "+n.moved(false))
	}
	assert.Equal(t, []string{
		"missing 1.8 2.16 1.44",
		"window 50 60 40",
		"later 14 17 11",
		"again 5.0 6.0 4.0",
		"plain[Minor] 5 6 4",
		"kinds[Sus4][1] 1.8 2.16 1.44",
		"kinds[Sus2][share][2] .29 0.348 0.232",
	}, got)
}

func TestOneNumberIsReplaced(t *testing.T) {
	path := written(t)
	all, err := numbersIn(path)
	require.NoError(t, err)
	other := filepath.Join(t.TempDir(), "moved.go")
	require.NoError(t, all[2].with(path, "17", other))
	got, err := os.ReadFile(other)
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(table, "-14", "-17", 1), string(got))

	require.NoError(t, os.WriteFile(path, []byte("package listen\n\nconst missing = 2 // another table by now, and a good deal longer than the one before it was\n\n"+table), 0o600))
	assert.ErrorContains(t, all[2].with(path, "17", other), "start again")
}

func TestRowsAreRead(t *testing.T) {
	rows, err := parseRows([]byte("=== RUN TestAccuracy\nrow\tpause: right\t95\t100\nrow\tjump: found\t0\t0\nok\n"))
	require.NoError(t, err)
	assert.Equal(t, []row{{"jump: found", 0, 0}, {"pause: right", 95, 100}}, rows, "by name")
	assert.Equal(t, 0.95, rows[1].share())
	assert.Equal(t, 1.0, rows[0].share(), "nothing asked, nothing missed")
	_, err = parseRows([]byte("row\tpause\t95\n"))
	assert.ErrorContains(t, err, "is no row")
	_, err = parseRows([]byte("row\tpause\t95\t100\nrow\tjump\t3\t4\nrow\tpause\t9\t10\n"))
	assert.ErrorContains(t, err, `two rows are called "pause"`)
}

func TestTablesAreCompared(t *testing.T) {
	before := []row{{"pause", 90, 100}, {"jump", 80, 100}, {"steady", 100, 100}}
	var r result
	r.compare(before, []row{{"pause", 92, 100}, {"jump", 75, 100}, {"steady", 100, 100}})
	assert.Equal(t, "better 2.000, worse 5.000 (jump -5.000)", r.String())
	assert.False(t, r.idle())

	r = result{}
	r.compare(before, before)
	assert.True(t, r.idle())
	r.heldBy = "TestAPause"
	assert.Equal(t, "no row, but TestAPause", r.String())
	assert.False(t, r.idle())

	r = result{}
	r.compare(before, before[:2])
	assert.Equal(t, "no row steady", r.String())
	assert.False(t, r.idle(), "a table that broke says nothing")
}

func TestResultsAreKept(t *testing.T) {
	path := filepath.Join(t.TempDir(), "kept", "room.tsv")
	s, err := openStore(path)
	require.NoError(t, err)
	for _, to := range []string{"2.16", "1.44"} {
		require.NoError(t, s.put(result{base: "abc", number: "missing", from: "1.8", to: to}))
	}
	require.NoError(t, s.put(result{base: "abc", number: "later", from: "14", to: "17", worse: 0.125, most: "jump -0.125"}))
	require.NoError(t, s.put(result{base: "abc", number: "later", from: "14", to: "11", trouble: "panic"}))
	f, err := os.OpenFile(path, os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = f.WriteString("abc\tcut off in the mid")
	require.NoError(t, err)
	require.NoError(t, f.Close())

	again, err := openStore(path)
	require.NoError(t, err)
	delete(s.have, key("abc", "later", "14", "11")) // trouble is told again
	assert.Equal(t, s.have, again.have)
	assert.True(t, again.idle(number{name: "missing", text: "1.8"}))
	assert.False(t, again.idle(number{name: "later", text: "14", isInt: true}))
	assert.False(t, again.idle(number{name: "missing", text: "1.9"}), "another value was never moved")
}

func TestNumbersAreCountedByWhatTheyDo(t *testing.T) {
	idle, tested, worse, better := result{}, result{heldBy: "TestX"}, result{better: 1, worse: 2}, result{better: 1}
	var c tally
	for _, both := range [][]result{{idle, idle}, {idle, tested}, {worse, idle}, {better, worse}, {idle}} {
		c.add(both)
	}
	assert.Equal(t, tally{idle: 1, tests: 1, worse: 1, better: 1, open: 1}, c)
}

func TestRoomsAreFound(t *testing.T) {
	all, unknown := roomsOf(nil)
	assert.Equal(t, rooms, all)
	assert.Empty(t, unknown)
	some, _ := roomsOf([]string{"listen/follow"})
	require.Len(t, some, 1)
	_, unknown = roomsOf([]string{"listen/follow", "listen/elsewhere"})
	assert.Equal(t, "listen/elsewhere", unknown)
}
