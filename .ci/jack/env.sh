# Source this to build RtMidi for JACK alone instead of ALSA, so that live
# ports can be tested on a machine without sound:
#
#   . .ci/jack/env.sh && go test ./...
#
# HAVE_SEMAPHORE lets RtMidi wait until the last messages have left before it
# closes an output; without it the notes-off at the end would be lost.
jack_dir=${BASH_SOURCE[0]:-$0}
jack_dir=$(cd "$(dirname "$jack_dir")" && pwd)
export CGO_ENABLED=1
export CGO_CXXFLAGS="-O2 -D__UNIX_JACK__ -DHAVE_SEMAPHORE -include $jack_dir/jackonly.h"
export CGO_LDFLAGS="-ljack"
