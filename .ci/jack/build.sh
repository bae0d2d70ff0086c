#!/bin/bash
# Usage: build.sh OUT [PACKAGE]
# Builds PACKAGE (./cmd/undersong) with live MIDI over JACK into the file OUT.
set -euo pipefail
out=$(realpath -m "${1:?usage: build.sh OUT [PACKAGE]}")
. "$(dirname "${BASH_SOURCE[0]}")/env.sh"
cd "$jack_dir/../.."
go build -o "$out" "${2:-./cmd/undersong}"
