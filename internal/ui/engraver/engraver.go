// Package engraver draws MusicXML as pages of SVG. It runs the engraving library
// verovio as a WebAssembly module in a machine without clock, files or network, so
// that the same music gives the same bytes everywhere. The module is apart and may
// be replaced, see NOTICE.md; its machine code is made once and kept in a folder.
package engraver

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	_ "embed" // the module
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
	"github.com/tetratelabs/wazero/experimental"
)

// Version is the release of verovio that the module was made of.
const Version = "6.3.0"

//go:embed verovio.wasm.gz
var packed []byte

// Options say what draws and where it is kept.
type Options struct {
	Module   []byte // another module in place of the one that is built in, packed by gzip or not
	Cache    string // the folder for its machine code; none where it is empty
	Progress func() // called before the machine code is made, which takes seconds; may be nil
}

// Engraver draws. It holds some hundred megabytes: close it when the pages are
// drawn.
type Engraver struct {
	runtime wazero.Runtime
	cache   wazero.CompilationCache
	module  api.Module
	toolkit uint64
}

// Open makes the machine code, or finds it in the cache, and starts it.
func Open(ctx context.Context, o Options) (*Engraver, error) {
	code, err := unpacked(o.Module)
	if err != nil {
		return nil, err
	}
	if !bytes.HasPrefix(code, []byte("\x00asm")) {
		return nil, errors.New("the engraver is no WebAssembly module")
	}
	config := wazero.NewRuntimeConfig().WithCoreFeatures(api.CoreFeaturesV2 | experimental.CoreFeaturesExceptionHandling)
	e := &Engraver{}
	made := ""
	if o.Cache != "" {
		if e.cache, err = wazero.NewCompilationCacheWithDir(o.Cache); err != nil {
			return nil, err
		}
		config = config.WithCompilationCache(e.cache)
		made = filepath.Join(o.Cache, fmt.Sprintf("made-%x", sha256.Sum256(code)))
	}
	if _, err := os.Stat(made); err != nil && o.Progress != nil {
		o.Progress()
	}
	e.runtime = wazero.NewRuntimeWithConfig(ctx, config)
	if err := e.start(ctx, code); err != nil {
		return nil, errors.Join(fmt.Errorf("the engraver does not start: %w", err), e.Close(ctx))
	}
	if made != "" {
		_ = os.WriteFile(made, nil, 0o600) // without it the next start only says that it makes what is there
	}
	return e, nil
}

// unpacked is a module's code.
func unpacked(module []byte) ([]byte, error) {
	if module == nil {
		module = packed
	}
	if !bytes.HasPrefix(module, []byte{0x1f, 0x8b}) {
		return module, nil
	}
	z, err := gzip.NewReader(bytes.NewReader(module))
	if err != nil {
		return nil, err
	}
	return io.ReadAll(z)
}

// The functions of the module that are called, by the letters that its build gave
// them.
const (
	initialize = "w"
	construct  = "z"
	options    = "ka"
	load       = "Y"
	pageCount  = "T"
	renderPage = "fa"
	timemap    = "ga"
	readLog    = "O"
	seed       = "ia"
	getMEI     = "P"
	allocate   = "ma"
	release    = "na"
)

func (e *Engraver) start(ctx context.Context, code []byte) error {
	if err := provide(ctx, e.runtime); err != nil {
		return err
	}
	compiled, err := e.runtime.CompileModule(ctx, code)
	if err != nil {
		return err
	}
	e.module, err = e.runtime.InstantiateModule(ctx, compiled, wazero.NewModuleConfig().WithStartFunctions())
	if err != nil {
		return err
	}
	for _, name := range []string{initialize, construct, options, load, pageCount, renderPage, timemap, readLog, seed, getMEI, allocate, release} {
		if e.module.ExportedFunction(name) == nil {
			return fmt.Errorf("the module has no function %q: it is not verovio %s", name, Version)
		}
	}
	if _, err := e.call(ctx, initialize); err != nil {
		return err
	}
	e.toolkit, err = e.call(ctx, construct)
	return err
}

// Close gives everything back.
func (e *Engraver) Close(ctx context.Context) error {
	err := e.runtime.Close(ctx)
	if e.cache != nil {
		err = errors.Join(err, e.cache.Close(ctx))
	}
	return err
}

// call calls a function of the module; one without a result gives 0.
func (e *Engraver) call(ctx context.Context, name string, args ...uint64) (uint64, error) {
	out, err := e.module.ExportedFunction(name).Call(ctx, args...)
	if err != nil {
		reason, _, _ := strings.Cut(err.Error(), "\n")
		return 0, errors.New(reason) // without the stack of a machine that nobody knows
	}
	if len(out) == 0 {
		return 0, nil
	}
	return out[0], nil
}

// with calls a function of the toolkit with a text.
func (e *Engraver) with(ctx context.Context, name, text string) (uint64, error) {
	at, err := e.call(ctx, allocate, uint64(len(text)+1))
	if err != nil {
		return 0, err
	}
	if at == 0 || !e.module.Memory().WriteString(uint32(at), text+"\x00") {
		return 0, errors.New("the music is too much for the engraver's memory")
	}
	out, err := e.call(ctx, name, e.toolkit, at)
	if err != nil {
		return 0, err
	}
	_, err = e.call(ctx, release, at)
	return out, err
}

// text reads a text that the module has given.
func (e *Engraver) text(at uint64, err error) (string, error) {
	if err != nil {
		return "", err
	}
	return textAt(e.module.Memory(), uint32(at)), nil
}

// set sets options of the toolkit.
func (e *Engraver) set(ctx context.Context, values map[string]any) error {
	text, err := json.Marshal(values)
	if err != nil {
		return err
	}
	_, err = e.with(ctx, options, string(text))
	return err
}
