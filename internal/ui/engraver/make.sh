#!/bin/sh
# Makes verovio.wasm.gz from the npm packages verovio and binaryen. A maintainer runs
# it by "make engraver" where there is Node; a build of undersong needs neither.
set -eu
verovio=6.3.0
binaryen=132.0.0
here=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
npm init -y >/dev/null
npm install --silent --no-audit --no-fund --ignore-scripts "verovio@$verovio" "binaryen@$binaryen"

# The module stands inside the script, which hands it to WebAssembly.instantiate.
cat >extract.mjs <<'END'
import { writeFileSync } from "node:fs";
WebAssembly.instantiate = (bytes) => {
  writeFileSync("module.wasm", new Uint8Array(bytes));
  process.exit(0);
};
(await import("./node_modules/verovio/dist/verovio-module.mjs")).default();
END
node extract.mjs

# Exceptions in the form of the standard, which wazero takes; --all-features makes a
# module that it does not load.
node node_modules/binaryen/bin/wasm-opt --mvp-features --enable-exception-handling \
    --enable-reference-types --enable-bulk-memory --enable-bulk-memory-opt --enable-sign-ext \
    --enable-nontrapping-float-to-int --enable-mutable-globals --enable-multivalue \
    --enable-simd --translate-to-exnref -o verovio.wasm module.wasm
gzip -9 -n verovio.wasm
mv verovio.wasm.gz "$here/verovio.wasm.gz"
sha256sum "$here/verovio.wasm.gz"
