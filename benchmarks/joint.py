"""Routes, gauges and bundles decided together, against the plain way: shortest way, then the thinnest legal gauge.

    python benchmarks/joint.py

Prints for each example robot what the plan costs against the plain way, the copper and the opened trunk of both, how
many circuits each limit binds, and how many seconds the first valid plan and the plan with its proofs took.
"""

from __future__ import annotations

import tempfile
from collections import Counter
from pathlib import Path
from time import perf_counter

from loomwright.jobs.check import check_files
from loomwright.jobs.saving import saving
from loomwright.jobs.start import EXAMPLES, make_demo
from loomwright.robotfile.folder import open_folder
from loomwright.search import Effort, in_words


def main() -> None:
    """Measure and print."""
    for name in EXAMPLES:
        with tempfile.TemporaryDirectory() as folder:
            make_demo(Path(folder), name)
            files = open_folder(Path(folder))
            start = perf_counter()
            check_files(files, effort=Effort.FIRST, fresh=True)
            first = perf_counter()
            plan = check_files(files, effort=Effort.USUAL, fresh=True)
            usual = perf_counter()
        print(f"{name}: first valid plan {first - start:.2f} s, usual plan {usual - first:.2f} s")
        held, layout = saving(plan), plan.layout
        if held is None or layout is None or layout.certificate is None:
            print("  nothing is routed: no places")
            continue
        proof = layout.certificate
        print(f"  routes: {proof.cost:.1f} g, {in_words(proof)}; plain way {proof.baseline or 0:.1f} g")
        print(f"  copper: {held.copper_g:.0f} g, plain way {held.plain_copper_g:.0f} g")
        print(f"  trunk opened: {held.opened_m:.2f} m, plain way {held.plain_opened_m:.2f} m")
        binds = Counter(limit for c in plan.circuits if c.sizing is not None for limit in c.sizing.decided_by)
        print(f"  what binds the wires: {', '.join(f'{limit} {count}' for limit, count in binds.most_common())}")


if __name__ == "__main__":
    main()
