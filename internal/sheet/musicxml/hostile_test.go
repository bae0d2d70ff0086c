package musicxml

import (
	"archive/zip"
	"bytes"
	"fmt"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/song"
	"undersong/internal/text/source"
)

// packed is an archive of files, names and texts in turn.
func packed(t testing.TB, files ...string) string {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for i := 0; i+1 < len(files); i += 2 {
		w, err := z.Create(files[i])
		require.NoError(t, err)
		_, err = w.Write([]byte(files[i+1]))
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return out.String()
}

// points is a container that names a file.
func points(to string) string {
	return `<?xml version="1.0"?><container><rootfiles><rootfile full-path="` + to + `" media-type="application/vnd.recordare.musicxml+xml"/></rootfiles></container>`
}

func TestCompressed(t *testing.T) {
	plain := score(four + n("C4:4"))
	for name, text := range map[string]string{
		"a container":               packed(t, container, points("song.xml"), "song.xml", plain),
		"in a folder":               packed(t, "scores/a b.musicxml", plain, container, points("scores/a b.musicxml")),
		"told from here":            packed(t, container, points("./song.xml"), "song.xml", plain),
		"beside a picture":          packed(t, container, strings.Replace(points("song.xml"), "<rootfiles>", `<rootfiles><rootfile full-path="a.png" media-type="image/png"/>`, 1), "a.png", "x", "song.xml", plain),
		"without a media type":      packed(t, container, `<container><rootfiles><rootfile full-path="song.xml"/></rootfiles></container>`, "song.xml", plain),
		"in the namespace of a DTD": packed(t, container, `<!DOCTYPE container SYSTEM "c.dtd">`+strings.TrimPrefix(points("song.xml"), `<?xml version="1.0"?>`), "song.xml", plain),
	} {
		assert.Equal(t, "C4:4@0", sung(read(t, text)), name)
	}
}

// What is refused, with its reason and soon.
func TestRefused(t *testing.T) {
	plain := score(four + n("C4:4"))
	bomb := `<?xml version="1.0"?><!DOCTYPE score-partwise [<!ENTITY a "aaaaaaaaaa">`
	for c := 'b'; c < 'z'; c++ {
		bomb += fmt.Sprintf(`<!ENTITY %c "%s">`, c, strings.Repeat(fmt.Sprintf("&%c;", c-1), 10))
	}
	bomb += `]><score-partwise><work><work-title>&y;</work-title></work></score-partwise>`
	for _, c := range []struct{ name, text, want string }{
		{"nothing", "", "the file ends before the score does"},
		{"a web page", "<html><body/></html>", "this is XML, but no MusicXML score: it begins with <html>"},
		{"an opus", "<opus><score/></opus>", "this is an opus"},
		{"a container", points("a.xml"), "this is the container"},
		{"no part", "<score-partwise/>", "the score has no part"},
		{"no measure", `<score-partwise><part id="P1"/></score-partwise>`, "the score has no measure"},
		{"more parts than an orchestra", parts("", make([][]string, mostParts+1)...), "the score has more than 200 parts"},
		{"many attributes", "<score-partwise>\n<part " + strings.Repeat(`a=">" `, 1_000_000) + "/>", "a.xml:2: an element has more than 200 attributes"},
		{"cut off", plain[:len(plain)-40], "measure 1: "},
		{"wrong ends", "<score-partwise><part></measure></part></score-partwise>", "<part> is ended by </measure>"},
		{"an entity bomb", bomb, "invalid character entity &y;"},
		{"an entity that reads a file", `<!DOCTYPE a [<!ENTITY x SYSTEM "file:///etc/passwd">]><score-partwise><work><work-title>&x;</work-title></work></score-partwise>`, "invalid character entity &x;"},
		{"deep", "<score-partwise>" + strings.Repeat("<a>", 1000), "more than 64 deep"},
		{"deep in a measure", `<score-partwise><part><measure number="7">` + strings.Repeat("<note>", 100), "measure"},
		{"many elements", "<score-partwise>" + strings.Repeat("<a/>", 650_000), "more than 600000 elements"},
		{"a measure without end", `<score-partwise><part><measure number="7">` + strings.Repeat("<a/>", 160_000), "one measure has more than 150000 elements"},
		{"fifty megabytes", strings.Repeat(" ", 50<<20), "the score is larger than 8 MiB"},
		{"a pitch without an octave", score(four + n("C4:1") + "\n<note><pitch><step>C</step></pitch><duration>1</duration></note>"), "a.xml:2: measure 1: a pitch needs a step"},
		{"no divisions", score(attributes("<divisions>0</divisions>") + n("C4:1")), `measure 1: a quarter note has "0" divisions`},
		{"a measure as long as a day", score(four + n("C4:100000000")), "measure 1: the measure is longer than 4096 quarter notes"},
		{"an unknown encoding", `<?xml version="1.0" encoding="EBCDIC"?>` + plain, "in an encoding that is not known here"},
		{"no archive", "PK\x03\x04" + plain, "this is no whole compressed score"},
		{"a container that points up", packed(t, container, points("../../etc/passwd"), "../../etc/passwd", plain), "its container points outside of it"},
		{"from the root", packed(t, container, points("/etc/passwd"), "/etc/passwd", plain), "its container points outside of it"},
		{"to a drive", packed(t, container, points(`C:\a.xml`), `C:\a.xml`, plain), "its container points outside of it"},
		{"to nothing", packed(t, container, points("b.xml"), "a.xml", plain), "it has no b.xml"},
		{"to an archive", packed(t, container, points("b.mxl"), "b.mxl", packed(t, "a.xml", plain)), "is an archive again"},
		{"no container", packed(t, "a.xml", plain), "this archive is no compressed score: it has no META-INF/container.xml"},
		{"no root file", packed(t, container, "<container><rootfiles/></container>", "a.xml", plain), "names no score"},
		{"a container that is no XML", packed(t, container, "<container", "a.xml", plain), "is not readable"},
		{"a zip bomb", packed(t, container, points("a.xml"), "a.xml", strings.Repeat("\x00", 11<<20)), "is larger than 8192 KiB when unpacked"},
		{"a bomb of a container", packed(t, container, strings.Repeat(" ", 1<<20)), "is larger than 64 KiB when unpacked"},
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := Read([]byte(c.text), "a.xml", song.Wish{})
		runtime.ReadMemStats(&after)
		require.ErrorContains(t, err, c.want, c.name)
		var e *source.Error
		assert.ErrorAs(t, err, &e, c.name)
		assert.Less(t, (after.TotalAlloc-before.TotalAlloc)>>20, uint64(200), c.name+": MiB")
	}
}

func TestEncodings(t *testing.T) {
	text := func(encoding string) string {
		return `<?xml version="1.0" encoding="` + encoding + `"?><score-partwise><movement-title>Frère Jacques</movement-title>` + strings.TrimPrefix(score(four+n("C4:4")), `<score-partwise version="4.0">`)
	}
	wide := func(s string, at int) string {
		out := make([]byte, 0, 2*len(s))
		for _, r := range s {
			b := []byte{byte(r), byte(r >> 8)}
			out = append(out, b[at], b[1-at])
		}
		return string(out)
	}
	narrow := func(s string) string {
		out := make([]byte, 0, len(s))
		for _, r := range s {
			out = append(out, byte(r))
		}
		return string(out)
	}
	for name, src := range map[string]string{
		"UTF-8":                     text("UTF-8"),
		"UTF-8 with a mark":         "\xEF\xBB\xBF" + text("UTF-8"),
		"nothing declared":          strings.Replace(text("UTF-8"), ` encoding="UTF-8"`, "", 1),
		"UTF-16, low byte first":    "\xFF\xFE" + wide(text("UTF-16"), 0),
		"UTF-16, high byte first":   "\xFE\xFF" + wide(text("UTF-16"), 1),
		"UTF-16 without a mark":     wide(text("UTF-16LE"), 0),
		"Latin 1":                   narrow(text("ISO-8859-1")),
		"Windows-1252":              narrow(text("windows-1252")),
		"Windows-1252, not told so": narrow(text("UTF-8")),
	} {
		assert.True(t, Is([]byte(src)), name)
		assert.Equal(t, "Frère Jacques", read(t, src).Title, name)
	}
	assert.False(t, Is([]byte("X:1\nT:Clementine\nK:F\n")))
	assert.True(t, Is([]byte(packed(t, "a", "b"))))
}
