#!/bin/sh
# Double-click (or run) to open the Skeinwright studio.
cd "$(dirname "$0")" || exit 2

for python in python3.14 python3.13 python3.12 python3.11 python3; do
    if command -v "$python" >/dev/null 2>&1 && "$python" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
        exec "$python" run.py "$@"
    fi
done

echo "Skeinwright needs Python 3.11 or newer, and none was found: install the packages python3 and python3-venv, then start again." >&2
if [ -t 0 ]; then
    printf 'Press Enter to close this window. ' >&2
    read -r _
fi
exit 2
