"""Check the order of a chain, straight from what a chain is."""

from __future__ import annotations

from collections.abc import Sequence

from loomwright.search import Certificate


def check_chain(
    distance_mm: Sequence[Sequence[int]], ends: Sequence[int], order: Sequence[int], certificate: Certificate
) -> int:
    """Return the length of a chain [mm].

    Raises
    ------
    ValueError
        A device is missing or there twice, a pinned end is not at its end, or the certificate is wrong.
    """
    if sorted(order) != list(range(len(distance_mm))):
        raise ValueError("the chain does not pass each device once")
    if list(ends[:1]) != list(order[: len(ends[:1])]) or (len(ends) > 1 and order[-1] != ends[1]):
        raise ValueError("a pinned end of the chain is not at its end")
    length_mm = 0
    for place in range(1, len(order)):
        length_mm += distance_mm[order[place - 1]][order[place]]
    if certificate.cost != length_mm or certificate.unit != "mm":
        raise ValueError(f"the certificate tells another length than {length_mm} mm")
    if certificate.bound > length_mm:
        raise ValueError("the certificate claims that no chain is as short as this one")
    if certificate.baseline is not None and certificate.baseline < length_mm:
        raise ValueError("the chain is longer than the plain one")
    return length_mm
