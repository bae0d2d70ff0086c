package e2e

import (
	"bufio"
	"bytes"
	"os"
	"os/exec"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ownServer starts a JACK server that a test may end. Its name is taken as long as
// its process is there, which is why the test itself waits for its end.
func ownServer(t *testing.T, s stage) *os.Process {
	t.Helper()
	if s.api != "jack" {
		t.Skip("only JACK has a server that may end")
	}
	t.Setenv("JACK_DEFAULT_SERVER", "undersong-test")
	cmd := exec.Command("jackd", "--no-realtime", "--no-mlock", "-d", "dummy", "-r", "48000", "-p", "128")
	require.NoError(t, cmd.Start())
	t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	})
	require.Eventually(t, func() bool { return exec.Command("jack_lsp").Run() == nil }, 10*time.Second, 100*time.Millisecond, "no server")
	return cmd.Process
}

// grand is an instrument on the server, until the test ends.
func (s stage) grand(t *testing.T) {
	t.Helper()
	const script = `import rtmidi, sys
out = rtmidi.MidiOut(rtapi=rtmidi.API_UNIX_JACK, name="grand"); out.open_virtual_port("out")
into = rtmidi.MidiIn(rtapi=rtmidi.API_UNIX_JACK, name="grand-in"); into.set_callback(lambda *_: None); into.open_virtual_port("in")
print("ready", flush=True)
sys.stdin.read()`
	cmd := exec.Command(s.python, "-c", script)
	in, err := cmd.StdinPipe()
	require.NoError(t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	t.Cleanup(func() {
		in.Close()
		_ = cmd.Process.Kill() // RtMidi waits for a server that is gone
		_ = cmd.Wait()
	})
	_, err = bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
}

// A JACK server that ends, in whichever way, is told, and the program ends too.
func TestServerThatEndsIsTold(t *testing.T) {
	s := setUp(t)
	practice := "practice " + s.chart + " --pattern two-beat --with left --count-in 0 --in grand:out --out grand-in --plain"
	for _, c := range []struct {
		command string
		signal  syscall.Signal
		summary bool
	}{
		{practice, syscall.SIGTERM, true},
		{practice, syscall.SIGKILL, true},
		{"hear --in grand:out", syscall.SIGKILL, false},
		{"play " + s.chart + " --pattern two-beat --plain --loop --out grand-in", syscall.SIGKILL, false},
	} {
		t.Run(strings.Fields(c.command)[0]+", "+c.signal.String(), func(t *testing.T) {
			server := ownServer(t, s)
			s.grand(t)
			cmd := exec.Command(s.binary, strings.Fields(c.command)...)
			var out, errors bytes.Buffer
			cmd.Stdout, cmd.Stderr = &out, &errors
			require.NoError(t, cmd.Start())
			done := make(chan error, 1)
			go func() { done <- cmd.Wait() }()
			time.Sleep(1500 * time.Millisecond) // it is in the middle of its work
			require.NoError(t, server.Signal(c.signal))
			select {
			case <-done:
			case <-time.After(10 * time.Second):
				_ = cmd.Process.Kill()
				<-done
				t.Error("it goes on without a server")
			}
			assert.Equal(t, 2, cmd.ProcessState.ExitCode())
			assert.Contains(t, errors.String(), "undersong: the JACK server has stopped: start it, then begin again\n")
			assert.Equal(t, c.summary, strings.Contains(out.String(), "to mend"), out.String())
		})
	}
}
