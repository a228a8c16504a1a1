#!/usr/bin/env bash
# Runs a program in a real window on a virtual display; exit 77 (skipped) where there is none.
set -euo pipefail
if ! command -v Xvfb >/dev/null; then
  echo "skipped: Xvfb is not installed (scripts/setup installs it)"
  exit 77
fi
work=$(mktemp -d)
Xvfb -displayfd 3 -screen 0 1600x1000x24 -nolisten tcp 3>"$work/number" 2>"$work/log" &
server=$!
trap 'kill "$server" 2>/dev/null || true; wait "$server" 2>/dev/null || true; rm -rf "$work"' EXIT
for _ in $(seq 200); do
  [[ -s $work/number ]] && break
  sleep 0.05
done
[[ -s $work/number ]] || { echo "skipped: Xvfb does not start: $(head -1 "$work/log")"; exit 77; }
code=0
DISPLAY=":$(cat "$work/number")" QT_QPA_PLATFORM=xcb "$@" || code=$?
exit "$code"
