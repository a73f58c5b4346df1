"""Let `python -m loomwright` be the same as `loomwright`."""

from __future__ import annotations

from loomwright.cli.main import run

if __name__ == "__main__":
    run()
