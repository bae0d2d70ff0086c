package term

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"undersong/internal/ui/words"

	"undersong/internal/session/sitting"
)

// openTerminal is a pseudo terminal of the given size.
func openTerminal(t *testing.T, columns, rows int) (master, terminal *os.File) {
	t.Helper()
	master, err := os.OpenFile("/dev/ptmx", os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Skip("no pseudo terminals here: ", err)
	}
	fd := int(master.Fd())
	require.NoError(t, unix.IoctlSetPointerInt(fd, unix.TIOCSPTLCK, 0))
	n, err := unix.IoctlGetInt(fd, unix.TIOCGPTN)
	require.NoError(t, err)
	require.NoError(t, unix.IoctlSetWinsize(fd, unix.TIOCSWINSZ, &unix.Winsize{Row: uint16(rows), Col: uint16(columns)}))
	terminal, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", n), os.O_RDWR|unix.O_NOCTTY, 0)
	require.NoError(t, err)
	t.Cleanup(func() {
		terminal.Close()
		master.Close()
	})
	return master, terminal
}

func TestTerminalIsRestored(t *testing.T) {
	master, terminal := openTerminal(t, 100, 30)
	before, err := unix.IoctlGetTermios(int(terminal.Fd()), unix.TCGETS)
	require.NoError(t, err)
	out := newTape()
	go io.Copy(out, master) //nolint:errcheck // ends with the terminal

	p := New(Options{In: terminal, Out: terminal, Signals: make(chan os.Signal)})
	result := make(chan error, 1)
	go func() { result <- p.Run(context.Background()) }()
	p.Show(words.View{Phase: sitting.Playing, Heard: "C", Down: keysOf(60)})
	out.await(t, "C6") // the keyboard of a terminal with a size
	during, err := unix.IoctlGetTermios(int(terminal.Fd()), unix.TCGETS)
	require.NoError(t, err)
	assert.NotEqual(t, before.Lflag, during.Lflag, "keys are read one by one")

	_, err = master.WriteString("\x03")
	require.NoError(t, err)
	await(t, p.Asked(), "Ctrl-C")
	p.Quit()
	require.NoError(t, await(t, result, "Run"))
	out.await(t, leaveAlternate)
	after, err := unix.IoctlGetTermios(int(terminal.Fd()), unix.TCGETS)
	require.NoError(t, err)
	assert.Equal(t, before, after)
	assertRestored(t, out.String())
}

// Only a running screen may ask the terminal anything: one that does not answer
// would hold up every other command. This test binary, without a test to run,
// stands for such a command.
func TestNothingIsAskedBeforeTheScreenRuns(t *testing.T) {
	master, terminal := openTerminal(t, 80, 24)
	out := newTape()
	go io.Copy(out, master) //nolint:errcheck // ends with the terminal

	command := exec.Command(os.Args[0], "-test.run=^$")
	command.Env = append(os.Environ(), "TERM=xterm-256color", "CI=")
	command.Stdin, command.Stdout, command.Stderr = terminal, terminal, terminal
	command.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	require.NoError(t, command.Run())
	out.await(t, "PASS")
	assert.NotContains(t, out.String(), "\x1b")
}
