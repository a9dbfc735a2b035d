#!/bin/sh
# A double click runs this folder and opens the pages.
cd "$(dirname "$0")" || exit 1
# The program, or else the Python that made this folder.
python=@PYTHON@
if command -v lostroot >/dev/null 2>&1; then
  lostroot run .
elif [ -x "$python" ]; then
  "$python" -P -m pipeline.cli run .
else
  echo "lostroot was not found. Install it, or write its place into this file (python=...)." >&2
  false
fi
status=$?
page="$(ls -t reports/own/index.html reports/own/*/index.html 2>/dev/null | head -n 1)"
if [ "$status" -le 1 ] && [ -n "$page" ]; then
  if command -v xdg-open >/dev/null 2>&1; then xdg-open "$page"; elif command -v open >/dev/null 2>&1; then open "$page"; fi
fi
if [ -t 0 ]; then
  printf '%s' "Press Enter to close. "
  read -r _
fi
exit "$status"
