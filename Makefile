# undersong: see README.md for what it does, DEVELOPERS.md for how it is built.

GO          ?= go
PREFIX      ?= /usr/local
DESTDIR     ?=
FUZZTIME    ?= 30s
SEEDS       ?= 20
STATICCHECK  = honnef.co/go/tools/cmd/staticcheck@v0.8.2

.PHONY: build install uninstall demo test golden lint fuzz bench accuracy sensitivity mutants soak engraver clean need

build: need
	$(GO) build -trimpath -o bin/undersong ./cmd/undersong

# For install: where nothing changed since "make", "sudo make install" copies
# only, and root needs no Go.
bin/undersong: go.mod go.sum $(shell find cmd internal patterns -type f ! -name '*_test.go' ! -path '*/testdata/*')
	$(MAKE) build

# The program, what makes the Tab key finish commands in three shells, and the
# licence. DESTDIR stands before PREFIX where a package is made.
bash    = $(DESTDIR)$(PREFIX)/share/bash-completion/completions/undersong
zsh     = $(DESTDIR)$(PREFIX)/share/zsh/site-functions/_undersong
fish    = $(DESTDIR)$(PREFIX)/share/fish/vendor_completions.d/undersong.fish
program = $(DESTDIR)$(PREFIX)/bin/undersong
licence = $(DESTDIR)$(PREFIX)/share/doc/undersong/LICENSE
notices = $(DESTDIR)$(PREFIX)/share/doc/undersong/engraver

install: bin/undersong
	install -d $(dir $(program) $(bash) $(zsh) $(fish) $(licence))
	install -m 755 bin/undersong $(program)
	install -m 644 LICENSE $(licence)
	install -d $(notices)/licence
	install -m 644 internal/ui/engraver/NOTICE.md $(notices)
	install -m 644 internal/ui/engraver/licence/*.txt $(notices)/licence
	bin/undersong completion bash > $(bash)
	bin/undersong completion zsh > $(zsh)
	bin/undersong completion fish > $(fish)

uninstall:
	rm -f $(program) $(bash) $(zsh) $(fish) $(licence)
	rm -rf $(notices)
	-rmdir $(dir $(licence))

demo: build
	bin/undersong demo

# The whole test suite: form, plain tests, then the short ones again with the
# race detector.
test: need lint
	$(GO) test ./...
	$(GO) test -race -short ./...

lint: need
	@bad="$$(gofmt -l cmd internal patterns)"; [ -z "$$bad" ] || { echo "run gofmt on:" $$bad; exit 1; }
	$(GO) vet ./...
	$(GO) run $(STATICCHECK) ./...

# Files that tests compare with, and the outputs in README and manual, written anew
# where there are any. Read what has changed before you keep it.
golden: need
	UPDATE=1 $(GO) test -count=1 $$($(GO) list -f '{{range .TestImports}}{{if eq . "undersong/internal/test/golden"}}{{$$.ImportPath}} {{end}}{{end}}' ./internal/...)

# Every fuzz target of the project for FUZZTIME.
fuzz: need
	.ci/fuzz $(FUZZTIME)

bench: need
	$(GO) test -run '^$$' -bench . -benchmem ./internal/...

# How well the program judges, follows and hears, measured on simulated players.
accuracy: need
	$(GO) test -count=1 -run 'Accuracy|Faultless' -timeout 60m -v ./internal/judge/engine -args -seeds $(SEEDS)
	$(GO) test -count=1 -run Accuracy -timeout 60m -v ./internal/listen/follow -args -seeds $(SEEDS)
	$(GO) test -count=1 -run Accuracy -timeout 60m -v ./internal/listen/chordid
	$(GO) test -count=1 -run Accuracy -timeout 60m -v ./internal/listen/transcribe
	$(GO) test -count=1 -run 'Accuracy|Faultless' -timeout 60m -v ./internal/judge/byear -args -seeds $(SEEDS)
	$(GO) test -count=1 -run 'Accuracy|Faultless' -timeout 60m -v ./internal/judge/firstbass -args -seeds $(SEEDS)
	$(GO) test -count=1 -run Accuracy -timeout 60m -v ./internal/play/together -args -seeds $(SEEDS)
	$(GO) test -count=1 -run 'Accuracy|NoCause' -timeout 60m -v ./internal/judge/cause -args -seeds $(SEEDS)
	$(GO) test -count=1 -run Captures -timeout 60m -v ./internal/listen/capture -args -seasons 4

# What each tuned number is worth: moved by a fifth both ways, over a part of its
# room's accuracy table. ROOM=listen/follow moves one room's; MOST=10m stops after
# a time, and the next call goes on.
ROOM ?=
MOST ?= 0
sensitivity:
	$(GO) run ./internal/test/sensitivity -for $(MOST) $(ROOM)

# Short live sittings over JACK, SITTINGS of them, none of which may crash or leave
# a note sounding.
SITTINGS ?= 2000
soak:
	.ci/soak $(SITTINGS)

# Whether each room's tests notice when its code is changed. All rooms that judge,
# word and listen take hours: make mutants ROOMS="listen/keyboard judge/byear" and
# SURVIVORS=1 to see what went unnoticed.
mutants:
	SURVIVORS=$(SURVIVORS) .ci/mutants $(ROOMS)

# The module that engraves pages, made again from its npm packages; its NOTICE.md says
# what it is. It is in the repository: a build needs Go alone.
engraver:
	internal/ui/engraver/make.sh

# A C++ compiler and the ALSA headers, which live MIDI is built with.
need:
	@.ci/need

clean:
	rm -rf bin
