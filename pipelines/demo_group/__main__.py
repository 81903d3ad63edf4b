"""``python -m pipelines.demo_group OUT --cases N``: write a drop of the demo group."""

import argparse
import sys
import time
from pathlib import Path

from pipelines.demo_group.drop import LARGEST, TILE, generate


def main() -> int:
    """Write the drop, print rows by feed and seconds; 2 for a wrong call."""
    parser = argparse.ArgumentParser(prog="python -m pipelines.demo_group", description=__doc__)
    parser.add_argument("out", type=Path, help="folder; gets drop/ and answer_key.csv")
    parser.add_argument(
        "--cases", type=int, default=TILE, help=f"{TILE} (default) to {LARGEST} cases"
    )
    parser.add_argument("--threads", type=int, default=None, help="threads (default: all cores)")
    wanted = parser.parse_args()
    started = time.perf_counter()
    try:
        drop = generate(wanted.out, wanted.cases, wanted.threads)
    except ValueError as error:
        parser.error(str(error))
    seconds = time.perf_counter() - started
    for name, count in drop.rows.items():
        print(f"{name:22}{count:>12,} rows")
    total = sum(drop.rows.values())
    print(f"{'all':22}{total:>12,} rows in {seconds:.1f} s ({total / seconds:,.0f} a second)")
    return 0


if __name__ == "__main__":
    sys.exit(main())
