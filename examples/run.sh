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
vireton new "$out/my_bow.toml" --template
vireton schema > "$out/schema.json"
vireton spine mill_bow.toml --spine 0.3:0.5:0.1in --point 100,125gr --plot "$out/spine.pdf"
vireton compare mill_bow.toml --vary vanes.count=3,4 --plot "$out/compare.png"
vireton compare mill_bow.toml orchard_bow.toml --units metric --json > "$out/compare.json"
vireton holds mill_bow.toml --distances "20,40,60 yd" --plot "$out/holds.png"
vireton marks mill_bow.toml --radius 33in --shot 20yd=1.20in --shot 60yd=1.97in --plot "$out/marks.pdf"
vireton rules orchard_bow.toml
vireton broadhead mill_broadhead.toml --distances "20,40 yd" --plot "$out/broadhead.png"
vireton scatter mill_bow.toml --aim "3/4 in at 20 yd" --arrows 1024 --draws 16 --plot "$out/scatter.png"
vireton hunt mill_broadhead.toml -o "$out/hunt.html"
vireton hunt mill_log.toml --units metric --json > "$out/hunt.json"
vireton tune mill_log.toml --plot "$out/tune.png"
vireton walkback mill_log.toml --plot "$out/walkback.png"
vireton report mill_log.toml -o "$out/mill.html"
vireton report orchard_bow.toml -o "$out/orchard.html" --units metric
vireton record "$out/log.toml" --setup mill_bow.toml --tear bare "left 1/16 in, high 1/8 in" --at 6ft
vireton record "$out/log.toml" --undo
vireton jobs "$out"
python3 rest_sweep.py
vireton target plumb -o "$out/plumb.pdf" --paper a4 --units metric
vireton animate orchard_bow.toml -o "$out/flight.gif" --frames 12 --units metric --distance "18 m"
vireton demo orchard_bow.toml --plot "$out/window.png"
bash classroom/run.sh
