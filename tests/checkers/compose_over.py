"""Composes lines over every chart of a folder, for `tell_apart.py` to compare.

    python compose_over.py PROGRAM CHARTS OUT --style NAME --seeds N [--bold POINTS]

PROGRAM is a built `linewright`; CHARTS holds `NAME.chart` files. OUT is made, and holds
`NAME.SEED.line.txt` afterwards, seeds 1 to N, as the program writes its lines: the bytes hang on
nothing else. With `--middle`, every chart is played three times in a row: `tell_apart.py`
then looks at the chorus in the middle, where no line begins or ends.

Prints one JSON object: {"style", "bold", "seeds", "composed": how many lines,
"failed": {chart: {"seeds": which, "because": what the program said}}}. Ends with 1 where no line
came out at all.
"""

import argparse
import json
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path


def arguments():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("program", type=Path)
    parser.add_argument("charts", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--style", required=True, help="a name, or a style file")
    parser.add_argument("--seeds", type=int, required=True, help="how many lines for each chart")
    parser.add_argument("--bold", help="how bold the lines are, in points; the style says where this does not")
    parser.add_argument("--middle", action="store_true", help="play each chart three times in a row")
    parser.add_argument("--jobs", type=int, default=2, help="how many run at once")
    return parser.parse_args()


def compose(asked, chart, seed):
    """What the program says against it; nothing where the line was written."""
    goal = asked.out / f"{chart.stem}.{seed}.line.txt"
    command = [asked.program.resolve(), "compose", chart, "--style", asked.style, "--seed", str(seed)]
    command += ["--bold", asked.bold] if asked.bold else []
    command += ["--choruses", "3"] if asked.middle else []
    done = subprocess.run([*command, "--quiet", "--output", goal], capture_output=True, text=True, timeout=300)
    return None if done.returncode == 0 else done.stderr.strip().split("\n")[0] or f"exit code {done.returncode}"


def main():
    asked = arguments()
    charts = sorted(asked.charts.glob("*.chart"))
    if not charts:
        sys.exit(f"{asked.charts} holds no .chart file")
    if any(asked.out.glob("*.line.txt")):
        sys.exit(f"{asked.out} holds lines already: empty it, or name another folder")
    asked.out.mkdir(parents=True, exist_ok=True)
    wanted = [(chart, seed) for chart in charts for seed in range(1, asked.seeds + 1)]
    with ThreadPoolExecutor(asked.jobs) as pool:
        said = list(pool.map(lambda one: compose(asked, *one), wanted))
    failed = {}
    for (chart, seed), words in zip(wanted, said):
        if words:
            failed.setdefault(chart.stem, {"seeds": [], "because": words})["seeds"].append(seed)
    composed = said.count(None)
    print(json.dumps({"style": asked.style, "bold": asked.bold, "seeds": asked.seeds, "composed": composed, "failed": failed}))
    sys.exit(0 if composed else 1)


if __name__ == "__main__":
    main()
