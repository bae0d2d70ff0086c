module undersong

go 1.25.0

require (
	charm.land/bubbletea/v2 v2.0.6
	github.com/adrg/xdg v0.5.3
	github.com/charmbracelet/x/ansi v0.11.7
	github.com/charmbracelet/x/term v0.2.2
	github.com/mattn/go-isatty v0.0.22
	github.com/rivo/uniseg v0.4.7
	github.com/rogpeppe/go-internal v1.15.0
	github.com/spf13/cobra v1.10.2
	github.com/spf13/pflag v1.0.9
	github.com/stretchr/testify v1.12.1
	github.com/tetratelabs/wazero v1.12.0
	gitlab.com/gomidi/midi/v2 v2.3.24
	golang.org/x/sys v0.44.0
	golang.org/x/text v0.3.8
)

require (
	github.com/charmbracelet/colorprofile v0.4.3 // indirect
	github.com/charmbracelet/ultraviolet v0.0.0-20260416155717-489999b90468 // indirect
	github.com/charmbracelet/x/termios v0.1.1 // indirect
	github.com/charmbracelet/x/windows v0.2.2 // indirect
	github.com/clipperhouse/displaywidth v0.11.0 // indirect
	github.com/clipperhouse/uax29/v2 v2.7.0 // indirect
	github.com/inconshreveable/mousetrap v1.1.0 // indirect
	github.com/lucasb-eyer/go-colorful v1.4.0 // indirect
	github.com/mattn/go-runewidth v0.0.23 // indirect
	github.com/muesli/cancelreader v0.2.2 // indirect
	github.com/xo/terminfo v0.0.0-20220910002029-abceb7e1c41e // indirect
	go.yaml.in/yaml/v3 v3.0.5 // indirect
	golang.org/x/sync v0.20.0 // indirect
	golang.org/x/tools v0.26.0 // indirect
)
