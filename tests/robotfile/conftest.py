"""What the tests of the robot's files share."""

from __future__ import annotations

import pytest
import yaml

from loomwright.robotfile.marked import yaml_tree


@pytest.fixture(params=["fast", "slow"])
def parser(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """Read with the parser built on libyaml, then with the one that every machine has."""
    monkeypatch.setattr(yaml_tree, "_LOADER", {"fast": yaml.CSafeLoader, "slow": yaml.SafeLoader}[request.param])
    return str(request.param)
