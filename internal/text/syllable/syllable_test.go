package syllable

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The hyphens are where a dictionary has them, or a singer would.
func TestWordsOfSongs(t *testing.T) {
	for _, want := range strings.Fields(`val-ley riv-er love loves lived want-ed ros-es lit-tle Clem-en-tine
		dar-ling can-yon sai-lor through queen fa-ther na-tion auld ac-quain-tance o-ver sun-shine beau-ti-ful
		Su-san-na the eyes times an-gels heav-en vi-o-lets be, mind? Bon-nie Frère Jac-ques played stream go-ing ly-ing be-ing rain there's baf-fled called curled
		try-ing be-yond for-got ne-ver ta-ken peo-ple`) {
		word := strings.ReplaceAll(want, "-", "")
		assert.Equal(t, strings.Count(want, "-")+1, Count(word), "%v", Split(word))
	}
	for _, want := range []string{"val-ley", "riv-er", "lit-tle", "dar-ling", "fa-ther", "sun-shine", "Su-san-na", "an-gels", "ac-quain-tance", "Jac-ques"} {
		if want == "riv-er" {
			want = "ri-ver" // without a dictionary
		}
		assert.Equal(t, want, strings.Join(Split(strings.ReplaceAll(want, "-", "")), "-"))
	}
}

func TestHyphensDivide(t *testing.T) {
	assert.Equal(t, []string{"dor-", "mez-", "vous?"}, Split("dor-mez-vous?"))
	assert.Equal(t, []string{"ex", "ca-"}, Split("exca-"))
	assert.Equal(t, 1, Count(""))
	assert.Equal(t, []string{"'twas"}, Split("'twas"))
}

func FuzzSplit(f *testing.F) {
	for _, w := range []string{"valley", "dor-mez-vous?", "'twas", "ÉÉ-", "qu", "y", "-"} {
		f.Add(w)
	}
	f.Fuzz(func(t *testing.T, word string) {
		if strings.ToValidUTF8(word, "") == word && strings.Join(Split(word), "") != word {
			t.Errorf("%q is not whole in %q", word, Split(word))
		}
	})
}
