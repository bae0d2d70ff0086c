package house

import (
	"go/ast"
	"go/token"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
)

// wordless are the wings that speak in notes, chords and numbers: what is said in
// English, and which flag of which command helps, is a face's business.
var wordless = []string{"listen", "judge", "session"}

// sentence is English: two words in a row, such as "too loud" or "bar %d". Names such as
// "wrong-bass" and "at_ms" are none.
var sentence = regexp.MustCompile(`[a-z]{2,}[,:;]? (%[a-z]|[a-z]{2,})`)

// flag is an option of a command.
var flag = regexp.MustCompile(`(^|\s)--[a-z]`)

// spoken are the texts of a room that are for a reader. Errors may be: they are told
// once, by whoever meets them. A flag may stand nowhere.
func (p *pack) spoken() []string {
	var all []string
	for _, f := range p.files {
		ast.Inspect(f, func(n ast.Node) bool {
			if _, ok := n.(*ast.ImportSpec); ok {
				return false
			}
			all = append(all, texts(n, flag.MatchString)...)
			return true
		})
		ast.Inspect(f, func(n ast.Node) bool {
			if isError(n) {
				return false
			}
			all = append(all, texts(n, func(s string) bool { return sentence.MatchString(s) && !flag.MatchString(s) })...)
			return true
		})
	}
	return all
}

// texts is the text of a node that is one and that passes.
func texts(n ast.Node, passes func(string) bool) []string {
	lit, ok := n.(*ast.BasicLit)
	if !ok || lit.Kind != token.STRING {
		return nil
	}
	if text, err := strconv.Unquote(lit.Value); err == nil && passes(text) {
		return []string{text}
	}
	return nil
}

// isError reports a call that makes an error, or stops the program with a mistake of
// ours, and the method that gives an error its text.
func isError(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.CallExpr:
		switch f := n.Fun.(type) {
		case *ast.Ident:
			return f.Name == "panic"
		case *ast.SelectorExpr:
			x, ok := f.X.(*ast.Ident)
			return ok && (x.Name == "fmt" && f.Sel.Name == "Errorf" || x.Name == "errors" && f.Sel.Name == "New" ||
				x.Name == "wording" && f.Sel.Name == "Named")
		}
	case *ast.FuncDecl:
		return n.Name.Name == "Error" && n.Recv != nil
	}
	return false
}

// worded are the rooms of the wordless wings that speak, with what they say.
func (h tree) worded() map[string][]string {
	all := map[string][]string{}
	for _, path := range h.rooms() {
		if !slices.Contains(wordless, wing(path)) {
			continue
		}
		if said := h[path].spoken(); len(said) > 0 {
			all[room(path)] = said
		}
	}
	return all
}

func TestWhoJudgesDoesNotSpeak(t *testing.T) {
	assert.Empty(t, thisProgram(t).worded(), "rooms that speak English")
}

func TestSpeakingIsNoticed(t *testing.T) {
	for text, want := range map[string]bool{
		`return "too loud"`:                                    true,
		`return "bar %d"`:                                      true,
		`return "lower, " + further`:                           false,
		`s := "keep C, add E"`:                                 false, // notes alone
		`s := "play it again"`:                                 true,
		`return "--hand"`:                                      true,
		`return "undersong practice --hand left"`:              true,
		`return fmt.Errorf("level %q is not one of three", s)`: false,
		`return errors.New("nothing was played")`:              false,
		`return errors.New("try --meter")`:                     true,
		`panic("no such stroke")`:                              false,
		`return "wrong-bass"`:                                  false,
		`return "at_ms"`:                                       false,
		`return "C F/A"`:                                       false,
		"return `as it was`":                                   true,
		`wording.Named(k, names, text, "command of a face")`:   false,
	} {
		p := fake(t, "judge/coach", "", "func f() { "+text+" }")[rooms+"judge/coach"]
		assert.Equal(t, want, len(p.spoken()) > 0, text)
	}
	method := fake(t, "judge/coach", "", `type E struct{}
func (E) Error() string { return "it is over" }
func (E) String() string { return "it goes on" }`)
	assert.Equal(t, map[string][]string{"judge/coach": {"it goes on"}}, method.worded())
	assert.Empty(t, fake(t, "sheet/chart", "", `const s = "too loud"`).worded(), "who reads sheets may name what is wrong")
}
