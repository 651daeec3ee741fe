#!/usr/bin/env bash
# Runs every example once; the pictures go to a folder that is thrown away.
set -euo pipefail
cd "$(dirname "$0")"
out="$(mktemp -d)"
trap 'rm -rf "$out"' EXIT
vireton fly mill_bow.toml --plot "$out/mill.png"
vireton rest mill_bow.toml --right 1/32in --up "0,1/32 in" --plot "$out/mill_rest.svg"
vireton fly orchard_bow.toml --units metric --distances "18,30,50,70 m"
vireton rest orchard_bow.toml --units metric --up "-1:1:0.5 mm" --json > "$out/orchard.json"
vireton new "$out/my_bow.toml"
vireton schema > "$out/schema.json"
vireton spine mill_bow.toml --spine 0.3:0.5:0.1in --point 100,125gr --plot "$out/spine.pdf"
vireton tune mill_log.toml --plot "$out/tune.png"
vireton walkback mill_log.toml --plot "$out/walkback.png"
vireton report mill_log.toml -o "$out/mill.html"
vireton report orchard_bow.toml -o "$out/orchard.html" --units metric
vireton record "$out/log.toml" --setup mill_bow.toml --tear bare "left 1/16 in, high 1/8 in" --at 6ft
vireton record "$out/log.toml" --undo
python3 rest_sweep.py
