"""Plans and other frozen things as bytes for another Python, which knows the same modules."""

from __future__ import annotations

import copyreg
import io
import pickle
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable


def packed(subject: object) -> bytes:
    """Return something as bytes that `pickle.loads` makes it from again; read-only mappings can be in it."""
    held = io.BytesIO()
    pickler = pickle.Pickler(held, protocol=pickle.HIGHEST_PROTOCOL)
    pickler.dispatch_table = copyreg.dispatch_table | {MappingProxyType: _view_of}
    pickler.dump(subject)
    return held.getvalue()


def _view_of(
    mapping: MappingProxyType[object, object],
) -> tuple[Callable[[dict[object, object]], object], tuple[dict[object, object]]]:
    return _view, (dict(mapping),)


def _view(held: dict[object, object]) -> MappingProxyType[object, object]:
    return MappingProxyType(held)
