#!/bin/sh
# Builds the wheel, installs it where no source of ours lies, and runs the tests on it.
# Libraries are those of the environment of PYTHON: a path file leads to them, and past the one
# there that leads to the sources. Without an index pip only finds out whether all are there.
set -eu
top=$(cd "$(dirname "$0")/../.." && pwd)
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
python=${PYTHON:-python3}

"$python" -m build --wheel --no-isolation --outdir "$place/wheel" "$top" >"$place/build.log" 2>&1 || {
  cat "$place/build.log"; exit 1; }
"$python" -m venv --without-pip "$place/venv"
"$python" -c 'import sysconfig; print(sysconfig.get_path("purelib"))' >"$place/libraries.pth"
cp "$place/libraries.pth" "$place"/venv/lib/python3*/site-packages/
cp -r "$top/tests" "$top/pyproject.toml" "$top/constraints.txt" "$top/README.md" \
  "$top/DEVELOPERS.md" "$top/PRIVACY.md" "$top/Makefile" "$place/"
cd "$place"
venv/bin/python -m pip install --quiet --disable-pip-version-check --no-index wheel/*.whl
venv/bin/python - <<'PY'
import sys
import pipeline, reports, sql, synthetic_data
for package in (pipeline, reports, sql, synthetic_data):
    assert package.__file__.startswith(f"{sys.prefix}/lib"), package.__file__
PY
PATH="$place/venv/bin:$PATH" venv/bin/python -m pytest -q --numprocesses auto --dist loadfile \
  --no-loadscope-reorder "$@"
