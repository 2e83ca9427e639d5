#!/bin/sh
# Choose an interpreter, then let setup/environment.py build or check .venv with it.
# Usage: setup/environment.sh LAYER...     (layers: run, dev, kernel, tools, bucket)
#
# The order: $PYTHON, else python3, else python3.14 down to python3.11. Each is run and not only looked up,
# because a name on PATH may be a shim whose version is not there, or a Python that is too old.
set -eu
here=$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd)
unset PYTHONPATH PYTHONHOME
export PYTHONNOUSERSITE=1

if [ -n "${PYTHON:-}" ]; then
    if chosen=$("$PYTHON" "$here/interpreter.py"); then
        exec "$chosen" "$here/environment.py" "$@"
    fi
    echo "PYTHON=$PYTHON cannot be used (the reason stands above). Set PYTHON to a CPython 3.11 to 3.14, \
or leave it unset." >&2
    exit 1
fi

for candidate in python3 python3.14 python3.13 python3.12 python3.11; do
    if chosen=$("$candidate" "$here/interpreter.py" 2>/dev/null); then
        exec "$chosen" "$here/environment.py" "$@"
    fi
done
echo "No usable Python was found: python3 and python3.14 to python3.11 were tried. Install CPython 3.11 to \
3.14 (on Debian or Ubuntu: apt-get install python3 python3-venv), or set PYTHON to one." >&2
exit 1
