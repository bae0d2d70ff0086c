# Source this to build RtMidi for JACK alone instead of ALSA, so that live
# ports can be tested on a machine without sound:
#
#   . .ci/jack/env.sh && go test ./...
#
# HAVE_SEMAPHORE lets RtMidi wait until the last messages have left before it
# closes an output; without it the notes-off at the end would be lost. With
# JACK_SLOW set, JACK is held up in each period, as on a busy machine.
jack_dir=${BASH_SOURCE[0]:-$0}
jack_dir=$(cd "$(dirname "$jack_dir")" && pwd)
export CGO_ENABLED=1
# Go does not see that a header forced in has changed: their sum tells it.
jack_sum=$(cat "$jack_dir"/*.h | cksum | cut -d' ' -f1)
export CGO_CXXFLAGS="-O2 -D__UNIX_JACK__ -DHAVE_SEMAPHORE -DJACK_SUM=$jack_sum -include $jack_dir/jackonly.h${JACK_SLOW:+ -include $jack_dir/slow.h}"
export CGO_LDFLAGS="-ljack"
export GOFLAGS="${GOFLAGS:-} -tags=jack"
