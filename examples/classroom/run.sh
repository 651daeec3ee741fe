#!/usr/bin/env bash
# Runs every command that the lessons show; what they write goes to a folder that is thrown away.
set -euo pipefail
cd "$(dirname "$0")"
out="$(mktemp -d)"
trap 'rm -rf "$out"' EXIT
# the commands name files as seen from the folder above examples/
cp -R .. "$out/examples"
python3 "$out/examples/classroom/worksheets.py"
for lesson in "$PWD"/[0-9]*.md; do
  commands="$(sed -n 's/^\$ \(vireton .*\)$/\1/p' "$lesson")"
  (cd "$out" && bash -euo pipefail -c "$commands")
done
