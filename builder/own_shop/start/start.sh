#!/bin/sh
# Starts this workshop: see start.py.
cd "$(dirname "$0")" || exit 1
if command -v python3 >/dev/null; then
    python3 start.py "$@" && exit 0
else
    echo "Python is missing: install Python 3.11 or newer." >&2
fi
if [ -t 0 ] && [ $# -eq 0 ]; then
    printf 'Press Enter to close this window. '
    read -r _
fi
exit 1
