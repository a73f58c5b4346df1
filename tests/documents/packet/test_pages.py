"""The packet's pages: every fact is the plan's, nothing overlaps or is cut off, the same plan gives the same bytes."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
import pytest
import yaml

from loomwright.documents.data_wiring.plan import data_svg
from loomwright.documents.packet.blocks import Leaf, Para, Section
from loomwright.documents.packet.packet import PAPERS, Half, packet_pdf, parts_of
from loomwright.documents.packet.setting import Frame, bound, code_of
from loomwright.documents.plate.plan import plate_svg
from loomwright.documents.spine.plan import spine_svg
from loomwright.documents.tables.cuts import cut_rows
from loomwright.documents.tables.every import questions
from loomwright.documents.tables.wiring import wire_rows
from loomwright.documents.typst.code import printable
from loomwright.proof.on_paper import on_paper
from loomwright.rulebook import cautions
from tests.documents.packet.reading import Packet, overlapping, rows
from tests.documents.packet.shared import Packets
from tests.documents.pdf.pages import pages, picture
from tests.jobs.test_deciding import ROBOT
from tests.robots import EXAMPLES, as_text, example_plan, example_text, plan_of, robot_of, shuffled

BUILDS = [(name, build) for name in EXAMPLES for build in ("", *robot_of(example_text(name)).builds)]


@pytest.mark.parametrize(
    ("name", "build", "paper"), [*((*one, "a4") for one in BUILDS), *((name, "", "letter") for name in EXAMPLES[1:])]
)
def test_nothing_overlaps_and_nothing_is_cut_off(name: str, build: str, paper: str, packet: Packets) -> None:
    """Every word inside the margins, no word over another, no page nearly empty, a foot on each."""
    plan = example_plan(name, build)
    read = packet(name, build, paper)
    sizes = {"a4": {(210, 297), (297, 210)}, "letter": {(216, 279), (279, 216)}}[paper]
    for page in read.pages:
        assert (round(page.width_mm), round(page.height_mm)) in sizes
        assert overlapping(page) == []
        for word in page.words:
            assert 10 < word.left < word.right < page.width_mm - 10, word
            assert 9 < word.top < word.bottom < page.height_mm - 8, word
        assert len(page.body) > 12, f"page {page.number} is empty"
        foot = [word.text for word in page.words if word not in page.body]
        assert plan.revision in foot
        assert " ".join(foot).endswith(f"page {page.number} of {len(read.pages)}")
        assert "disagree, stop and ask." in " ".join(foot)


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_no_page_ends_with_a_heading_or_with_what_leads_to_the_next_block(
    name: str, paper: str, packet: Packets
) -> None:
    """The last words of a page are never a heading's, nor those of a paragraph that says what the block below is."""
    plan = example_plan(name)
    leading: set[str] = set()
    for half in Half:
        for part in parts_of(plan, half, PAPERS[paper][1], date="", draft=False):
            for block, below in pairwise(() if isinstance(part, Leaf) else part.blocks):
                if isinstance(block, Section):
                    leading.add(joined_words(block.title))
                elif isinstance(block, Para) and not isinstance(below, Section):
                    leading.add(joined_words(block.text))
    assert {"Pitkit", "Fittedends,byhand"} <= leading
    for page in packet(name, paper=paper).pages:
        told = "".join(word.text for word in page.body)
        assert [words for words in leading if told.endswith(words)] == [], page.number


def joined_words(text: str) -> str:
    """Return a text as a page is read: without spaces."""
    return "".join(printable(text).split())


@pytest.mark.parametrize(
    ("name", "build", "paper"), [*((*one, "a4") for one in BUILDS), *((name, "", "letter") for name in EXAMPLES)]
)
def test_the_pit_card_is_one_sheet_of_a_print_on_both_sides(name: str, build: str, paper: str, packet: Packets) -> None:
    """Its front has an odd number, and its back is the next page."""
    read = packet(name, build, paper)
    front, back, *_ = read.chapter("Pit card: before a match")
    assert front.number % 2 == 1
    assert read.begins(back, "Pit card: maps")


@pytest.mark.parametrize("many", [0, 1, 2, 12])
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_so_it_is_where_nobody_knows_the_battery(many: int, paper: str) -> None:
    """Then there is no page for the hunt, and the weak points, which nobody knows, stand beside the card."""
    motor = {"motor": "motor/brushless-500w", "controller": "controller/inline-40a"}
    data: dict[str, Any] = {"robot": "Bare"}
    if many:
        data["blocks"] = {"block": {"part": "block/12-heavy-12-light-2-fused"}}
        data["mechanisms"] = {f"m{i}": motor for i in range(many)}
    read = Packet(packet_pdf(plan_of(as_text(data)), paper=paper))
    front, back, *_ = read.chapter("Pit card: before a match")
    assert front.number % 2 == 1
    assert read.begins(back, "Pit card: maps")
    assert len(read.chapter("Weak points")) > 1


@pytest.mark.parametrize(("name", "build"), BUILDS)
def test_every_wire_stands_once_in_build_order_with_its_facts(name: str, build: str, packet: Packets) -> None:
    plan = example_plan(name, build)
    found = packet(name, build).chapter("Wires in build order", "Cut list")
    wires = {row.wire: row for row in wire_rows(plan)}
    told = rows(found, list(wires), column=(20, 36))
    assert told.keys() == wires.keys()
    for wire, row in wires.items():
        line = f" {told[wire]} "
        for end in (row.a, row.b):
            assert all(f" {word} " in line for word in printable(end.where).split()), (wire, end.where, line)
        for fact in (row.gauge, row.colour):
            assert fact == "-" or f" {fact} " in line, (wire, fact, line)
        if row.captive != "yes" and isinstance(row.length_m, float):
            assert f" {row.length_m * 100:.1f}".removesuffix(".0") + " " in line, (wire, line)


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_pair_stays_on_one_page(name: str, paper: str, packet: Packets) -> None:
    """Where it is made and where it is pulled: both rows of wires that are twisted or lie side by side."""
    read = packet(name, paper=paper)
    wires = {wire.id: wire for wire in example_plan(name).wires}
    pairs = {wire.id: wire.twisted_with for wire in wires.values() if wire.twisted_with}
    pairs |= {
        one.id: other.id
        for one, other in pairwise(wires.values())
        if (one.circuit, one.a.socket, one.b.socket) == (other.circuit, other.a.socket, other.b.socket)
        and (one.role, other.role) == ("plus", "minus")
    }
    assert len(pairs) > 5
    for chapter, following in (("Wires in build order", "Cut list"), ("Pull record", "Wake-up: before power")):
        at = {
            word.text: page.number
            for page in read.chapter(chapter, following)
            for word in page.body
            if word.text in wires and 13 < word.left < 36
        }
        assert [pair for pair in pairs.items() if len({at[wire] for wire in pair if wire in at}) > 1] == []


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_cut_list_has_every_piece_under_its_spool(name: str, packet: Packets) -> None:
    plan = example_plan(name)
    pieces = cut_rows(plan)
    found = packet(name).chapter("Cut list", "Cards")
    firsts = [str(piece["wires"]).split(", ", maxsplit=1)[0] for piece in pieces]
    told = rows(found, firsts, column=(24, 48))
    assert list(told) == firsts, "in the order in which they are cut"
    waiting = [wire.id for wire in plan.wires if wire.length_m is None and not wire.captive]
    assert ("length is unknown: " in found[0].text) == bool(waiting)
    assert all(wire in found[0].text for wire in waiting), "what can't be cut yet is named"
    for piece, first in zip(pieces, firsts, strict=True):
        assert isinstance(piece["length_m"], float)
        for fact in (str(piece["wires"]), str(piece["gauge"]), f"{piece['length_m'] * 100:g}"):
            assert all(word in told[first] for word in fact.split(", ")), (fact, told[first])


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_cover_has_every_caution_and_the_revision(name: str, packet: Packets) -> None:
    plan = example_plan(name)
    cover = " ".join(packet(name).pages[0].text.split())
    assert plan.revision in cover
    assert plan.robot.name in cover
    for caution in cautions(plan.rules):
        assert caution in cover


@pytest.mark.parametrize("name", EXAMPLES)
def test_how_many_questions_are_open_is_said_once(name: str, packet: Packets) -> None:
    """The cover counts the rows of the page that holds them; a drawing tells of itself alone, and says so."""
    read = packet(name)
    asked = on_paper(questions(example_plan(name)))
    counted = f"{len(asked)} question{'' if len(asked) == 1 else 's'} {'is' if len(asked) == 1 else 'are'} open."
    assert (counted in read.text) == bool(asked)
    drawn = [page.text for page in read.pages if "NOT KNOWN HERE" in page.text]
    assert len(drawn) == 2
    assert "STILL TO BE TOLD" not in read.text


def test_the_date_is_printed_as_it_was_given_and_a_draft_says_so_on_every_page(packet: Packets) -> None:
    plan = example_plan("rockpool")
    dated = Packet(packet_pdf(plan, date="2026-02-14", draft=True))
    assert "2026-02-14" in dated.pages[0].text
    assert all("draft" in page.text for page in dated.pages)
    assert "draft" not in packet("rockpool").text


def test_the_same_plan_gives_the_same_bytes() -> None:
    plan = example_plan("rockpool")
    assert packet_pdf(plan, date="2026-02-14") == packet_pdf(plan, date="2026-02-14")


def test_the_order_of_the_file_changes_nothing_on_paper() -> None:
    """Things, trunks and plates named in another order: the same drawings, questions and findings, to the byte."""
    data = yaml.safe_load(ROBOT)
    data["electronics"] |= {"b radio": {"part": "radio/generic"}, "a camera": {"part": "camera/any", "slot": "H1"}}
    data["plate"]["keep outs"] = {
        name: [[0, 0], ["2 cm", 0], ["2 cm", at]] for name, at in (("y", "3 cm"), ("x", "2 cm"))
    }
    data["plates"] = {name: {"height": "30 cm", "outline": data["plate"]["outline"]} for name in ("upper b", "upper a")}
    wanted = pages_of(data)
    for seed in range(3):
        assert pages_of(shuffled(data, seed)) == wanted


def pages_of(data: dict[str, Any]) -> list[str]:
    """Return the code of all pages, and the drawings."""
    plan = plan_of(as_text(data), inputs="same")
    assert sum(finding.asks for finding in plan.findings) > 3
    frame = Frame("a4", "T", "", "", "")
    codes = [code_of(parts_of(plan, half, "A4", date="", draft=False), frame, drawings=half) for half in Half]
    sources = bound(codes, frame)
    return [*sources.values(), *(draw(plan).decode() for draw in (spine_svg, plate_svg, data_svg))]


def test_a_grey_print_reads_the_same(packet: Packets) -> None:
    """No fill is darker than 15 % behind text: behind every word of a grey print the paper is light."""
    for page, read in zip(pages(packet.pdf("breakwater")), packet("breakwater").pages, strict=True):
        grey = picture(page, dpi=127)  # 5 to a millimetre
        for word in read.words:
            top, bottom, left, right = (round(side * 5) for side in (word.top, word.bottom, word.left, word.right))
            inside = grey[top - 2 : bottom + 2, left : right + 1]
            assert np.percentile(inside, 85) > 216, (read.number, word)


HOSTILE = """
robot: "=A1 \\u05e2\\u05d1 🤖 #set text LONG"
battery: {part: battery/agm-12v-18ah}
main breaker: {part: breaker/main-120a}
blocks: {block: {part: block/12-heavy-12-light-2-fused}}
mechanisms:
  LONGID: {motor: motor/brushless-500w, controller: controller/inline-40a}
  "../x #z $y$": {motor: motor/brushed-340w, controller: unknown}
"""


def test_names_that_mean_harm_are_printed_as_text() -> None:
    """The longest names, right-to-left, emoji, a formula, a path, markup: all of it stays text."""
    plan = plan_of(HOSTILE.replace("LONGID", "l" * 60).replace("LONG", "W" * 36))
    read = Packet(packet_pdf(plan))
    assert "=A1 □□ □ #set text" in read.text
    assert "../x #z $y$" in read.text
    for page in read.pages:
        assert overlapping(page) == []
        assert all(word.right < page.width_mm - 10 for word in page.words)


@pytest.mark.parametrize("name", ["W" * 60, "m " * 29 + "m", "\u064a" * 60, "क्षि" * 15, "a-" * 30, "/" * 60])
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_longest_name_has_room_on_every_page(name: str, paper: str) -> None:
    """On the cover whole; in the foot as much as one line holds, with the build, the plan and the draft."""
    data = {"robot": name, "builds": {"practice field": {"note": "x"}}}
    plan = plan_of(as_text(data), "practice field")
    for page in Packet(packet_pdf(plan, paper=paper, draft=True)).pages:
        assert overlapping(page) == []
        assert all(10 < word.left < word.right < page.width_mm - 10 for word in page.words)
        foot = " ".join(word.text for word in page.words if word not in page.body)
        assert all(word.bottom < page.height_mm - 8 for word in page.words)
        assert f", practice field · plan {plan.revision} · draft If a sheet" in foot


def test_a_rule_that_is_broken_many_times_stays_on_its_page() -> None:
    """Of forty motors on a block with six most have none; the row tells three of them and counts the rest."""
    data = yaml.safe_load(ROBOT)
    del data["plate"]
    motor = {"motor": "motor/brushless-500w", "controller": "controller/inline-40a"}
    data["mechanisms"] = {f"m{i}": motor for i in range(40)}
    plan = plan_of(as_text(data))
    found = Packet(packet_pdf(plan)).chapter("Inspection list", "Pit card: before a match")
    for page in found:
        assert overlapping(page) == []
        assert all(word.bottom < page.height_mm - 8 for word in page.words)
    many = sum(finding.code == "no-slot" for finding in plan.findings)
    assert many > 20
    assert f"And {many - 3} more: see the sheet findings of plan.xlsx." in " ".join(
        " ".join(p.text.split()) for p in found
    )


def test_what_is_not_known_is_told_apart_from_what_is_assumed() -> None:
    data = yaml.safe_load(ROBOT)
    del data["mechanisms"]["left rear"]["at"]
    data["mechanisms"]["right front"]["length"] = "unknown"
    read = Packet(packet_pdf(plan_of(as_text(data))))
    assert "Not known yet, so not decided: – length of right front, left rear." in read.text
    assert "length: unknown" not in read.text


def test_a_robot_of_which_nothing_is_known_has_its_pages() -> None:
    read = Packet(packet_pdf(plan_of("robot: Bare\n")))
    assert "No wire" in read.text
