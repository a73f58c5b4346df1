"""Sharing: the code that phones read, the line that people type, and addresses found without asking anybody."""

from __future__ import annotations

import re
import socket
from dataclasses import replace

import numpy as np
import pytest
import zxingcpp
from numpy.typing import NDArray

from loomwright.web import address
from loomwright.web.address import local_addresses, lonely_words, machine_names, no_network_words
from loomwright.web.share_code import code_svg, code_text, join_line, join_url
from tests.web.people import ALONE, SHARED

URL = "http://192.168.7.2:8340/join#7k3m9q"


def read(dark: NDArray[np.bool_]) -> str:
    """Return what a reader sees in a pattern of dark squares, each drawn eight pixels wide."""
    picture = np.where(np.kron(dark, np.ones((8, 8), dtype=bool)), 0, 255).astype(np.uint8)
    return str(zxingcpp.read_barcodes(picture)[0].text)


def test_the_large_code_leads_to_the_door_with_the_code_in_hand() -> None:
    """The picture is drawn from its own path and read by a reader that is not the writer's."""
    svg = code_svg(URL).decode()
    side = int(re.findall(r'viewBox="0 0 (\d+) \d+"', svg)[0])
    dark = np.zeros((side, side), dtype=bool)
    path = re.findall(r'class="qrline"[^>]* d="([^"]+)"|d="([^"]+)" class="qrline"', svg)
    x, y = 0.0, 0.0
    for step, *numbers in re.findall(r"([MmhH])(-?[\d.]+)(?: (-?[\d.]+))?", "".join(path[0])):
        if step == "h":
            dark[int(y), int(x) : int(x + float(numbers[0]))] = True
            x += float(numbers[0])
        else:
            far, down = float(numbers[0]), float(numbers[1])
            x, y = (far, down) if step == "M" else (x + far, y + down)
    assert read(dark) == join_url(SHARED) == URL


def test_the_code_on_the_terminal_is_the_same() -> None:
    """Two rows in each line, as half blocks; a terminal is dark, so its light is the code's light."""
    lines = re.sub(r"\x1b\[[\d;]*m", "", code_text(URL)).splitlines()
    halves = {"█": (1, 1), "▀": (1, 0), "▄": (0, 1), " ": (0, 0)}
    wide = max(map(len, lines))
    light = np.array([[halves[sign][half] for sign in line.ljust(wide)] for line in lines for half in (0, 1)])
    assert read(light == 0) == URL


def test_the_line_has_address_and_code_as_people_read_them_out() -> None:
    """And where nothing is shared, or no network is there, there is no line and no code."""
    assert join_line(SHARED) == "http://192.168.7.2:8340/  code 7k3-m9q"
    assert (join_line(ALONE), join_url(ALONE)) == ("", "")
    assert join_line(replace(SHARED, address="")) == ""


def test_addresses_are_found_without_sending_anything(monkeypatch: pytest.MonkeyPatch) -> None:
    """No name is looked up and no byte is sent: a datagram socket that is connected only learns its way."""

    def never(*_: object, **__: object) -> None:
        pytest.fail("it asked the network")

    for name in ("getaddrinfo", "gethostbyname", "gethostbyname_ex", "create_connection"):
        monkeypatch.setattr(socket, name, never)
    kinds: list[int] = []
    real = socket.socket

    class Watched(real):  # type: ignore[misc,valid-type]  # the socket of this system
        def __init__(self, family: int, kind: int) -> None:
            kinds.append(kind)
            super().__init__(family, kind)

        send = sendto = sendall = sendmsg = never

    monkeypatch.setattr(socket, "socket", Watched)
    for found in local_addresses():
        assert not found.startswith(("127.", "169.254.", "0."))
    assert set(kinds) == {socket.SOCK_DGRAM}


@pytest.mark.parametrize(
    ("by_way", "by_interface", "found"),
    [
        ([], [], ()),
        (["192.168.7.2", "192.168.7.2"], ["10.0.0.3", "192.168.7.2"], ("192.168.7.2", "10.0.0.3")),
        (["127.0.0.1", "169.254.3.4"], ["224.0.0.1"], ()),
    ],
)
def test_the_likeliest_address_comes_first_and_dead_ends_not_at_all(
    by_way: list[str], by_interface: list[str], found: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The one that the system would take itself; none that leads to no phone, and none twice."""
    monkeypatch.setattr(address, "_by_way", lambda: iter(by_way))
    monkeypatch.setattr(address, "_by_interface", lambda: iter(by_interface))
    assert local_addresses() == found


@pytest.mark.parametrize(
    ("name", "names"),
    [
        ("Pit-Laptop", ("pit-laptop", "pit-laptop.local")),
        ("pit.local", ("pit", "pit.local")),
        ("localhost", ()),
        ("", ()),
        ("a b", ()),
        ("läptop", ()),
    ],
)
def test_a_laptop_has_the_names_that_a_network_knows_it_by(
    name: str, names: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    """In small letters, and only what can stand in an address."""
    monkeypatch.setattr(socket, "gethostname", lambda: name)
    assert machine_names() == names


def test_it_says_in_plain_words_what_to_do_where_phones_can_not_come() -> None:
    """How to test it, what it then means, and what else there is."""
    assert "hotspot" in no_network_words()
    assert "packet" in no_network_words()
    told = lonely_words("http://192.168.7.2:8340/")
    assert "open http://192.168.7.2:8340/ on a phone" in told
    assert "keeps phones apart" in told
    assert "firewall" in told
