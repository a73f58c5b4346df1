"""The compiled kernel against the very same code run as Python."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from loomwright.match.engine import chance, kernel, layout
from loomwright.match.machine import Machine
from tests.match.engine import played
from tests.match.engine.machines import TOUCHY, busy_driver, contacts, whole_machine
from tests.match.engine.plain import Given
from tests.match.engine.uncompiled import uncompiled


@pytest.mark.parametrize("machine", [whole_machine(), TOUCHY, replace(whole_machine(), loads=(), air=None)])
def test_compiled_as_uncompiled(machine: Machine, monkeypatch: pytest.MonkeyPatch) -> None:
    """A match with everything and with events is the same, though products may be fused with sums."""
    driver, given = busy_driver(1.6), Given(contacts(machine, 0.003), 1.5, 0.8, 0.5, 0.3, 31.0, 2, 8)
    compiled = played.kernel_plays(machine, driver, [given])
    with uncompiled():
        assert not hasattr(vars(kernel)["set_up"], "py_func")
        monkeypatch.setattr(played, "play", kernel.play)
        plain = played.kernel_plays(machine, driver, [given], lanes=1)
    for one in ("matches", "branches", "ways", "samples"):
        assert getattr(plain, one) == pytest.approx(getattr(compiled, one), rel=1e-9, abs=1e-9), one


def test_lanes_are_alike(monkeypatch: pytest.MonkeyPatch) -> None:
    """Uncompiled too, many side by side and each alone are bitwise the same."""
    machine, driver = whole_machine(), busy_driver(0.2)
    givens = [Given(contacts(machine, 0.001 * i), 1 + i / 20, match=i) for i in range(layout.LANES)]
    with uncompiled():
        monkeypatch.setattr(played, "play", kernel.play)
        together = played.kernel_plays(machine, driver, givens)
        for i in (0, 7, 15):
            alone = played.kernel_plays(machine, driver, [givens[i]], lanes=1)
            assert np.array_equal(alone.branches[0], together.branches[i])


def test_chance_compiled_as_uncompiled() -> None:
    """Numbers drawn for a study are bitwise the same."""
    compiled = [chance.share(11, match, 3, number) for match in range(5, 9) for number in range(6)]
    with uncompiled():
        assert [chance.share(11, match, 3, number) for match in range(5, 9) for number in range(6)] == compiled
