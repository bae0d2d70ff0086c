#!/bin/bash
# Usage: server.sh [LOG [FRAMES]]
# Starts a JACK server without sound and waits until it answers. Prints its
# process id, to be killed by the caller. Its output goes to the file LOG
# (default: nowhere). FRAMES (default: 256) is its period at 48,000 a second.
# A short period makes MIDI quick; too short a one for a busy machine makes
# JACK drop messages.
set -euo pipefail
log=${1:-/dev/null}
frames=${2:-256}
# With real-time rights, where they may be had, a busy machine drops nothing.
realtime=--no-realtime
if chrt -f 10 true 2>/dev/null; then
    realtime=--realtime
fi
# All servers of a user share a list of eight names and a database. A server that
# was killed stays in the list, and a program that was killed may have left the
# database locked; where no server runs, both can be made anew.
if ! pgrep -x -u "$(id -u)" jackd >/dev/null; then
    rm -rf /dev/shm/jack-shm-registry "/dev/shm/jack_db-$(id -u)"
fi
jackd "$realtime" --no-mlock -d dummy -r 48000 -p "$frames" >"$log" 2>&1 &
pid=$!
for _ in $(seq 100); do
    if jack_lsp >/dev/null 2>&1; then
        echo "$pid"
        exit 0
    fi
    if ! kill -0 "$pid" 2>/dev/null; then
        break
    fi
    sleep 0.1
done
echo "server.sh: jackd does not answer; run it with a log file to see why" >&2
kill "$pid" 2>/dev/null || true
exit 1
