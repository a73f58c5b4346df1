"""Every sheet of the packet says what the plan says: drawings, cards, pulls, Wake-up, inspection and the rest."""

from __future__ import annotations

import csv
import os
import re
from importlib.resources import files

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from loomwright.catalogue.sources import sources
from loomwright.catalogue.tables import table
from loomwright.documents.end_cards.deck import cards
from loomwright.documents.packet.in_print import in_print
from loomwright.documents.packet.packet import packet_pdf
from loomwright.documents.tables.every import rows_of
from loomwright.documents.tables.wiring import wire_rows
from loomwright.documents.typst.code import printable
from loomwright.hunting.robot.robot_hunt import robot_hunt
from loomwright.hunting.robot.weak_points import weak_points
from loomwright.proof.bags import bag_list
from loomwright.proof.build_order import build_order
from loomwright.proof.failing import failures
from loomwright.proof.hunt_sheet import hunt_sheet
from loomwright.proof.inspection import inspection
from loomwright.proof.pit_card import pit_card
from loomwright.proof.pit_kit import pit_kit
from loomwright.proof.pulls import fitted_ends, pull_samples
from loomwright.proof.wake_up import wake_up
from loomwright.proof.wire_beside import wire_beside
from loomwright.sizing import ampacity_bases
from tests.documents.packet.reading import Packet, Page, overlapping, rows
from tests.documents.packet.shared import Packets
from tests.documents.pdf.pages import Word
from tests.robots import EXAMPLES, as_text, example_plan, plan_of, robots

#: What the steps of a card take in the hand, beside the tool that makes the end.
_ASKED_BY_STEPS = {
    "hex key": "hex key",
    "insulated wrench": "insulated wrench",
    "maker's torque": "torque wrench",
    "Shrink the sleeve": "heat gun",
    "flat screwdriver": "screwdriver",
}


def joined(found: list[Page]) -> str:
    """Return the text of some pages without white space: lines end where they end, and long words are parted."""
    return "".join("".join(page.text.split()) for page in found)


def bare(text: str) -> str:
    """Return a text as `joined` tells it."""
    return "".join(printable(in_print(text)).split())


@pytest.mark.parametrize("name", EXAMPLES)
def test_drawings_show_every_wire_where_it_belongs(name: str, packet: Packets) -> None:
    """Each power wire on the Spine but motors' own, each data wire on the Data drawing, each device on the Plate."""
    plan = example_plan(name)
    read = packet(name)
    first = next(page.number for page in read.pages if "Spine" in page.text)
    data = next(page.number for page in read.pages if "Data: who follows whom" in page.text)
    plate = next(page.number for page in read.pages if "Plate" in page.text and page.number > data)
    build = read.chapter("Wires in build order")[0].number
    shown = {
        "power": read.pages[first - 1 : data - 1],
        "data": read.pages[data - 1 : plate - 1],
        "plate": read.pages[plate - 1 : build - 1],
    }
    words = {what: {word.text for page in found for word in page.words} for what, found in shown.items()}
    for wire in plan.wires:
        kind = str(wire.kind)
        if kind in ("main", "branch", "feeder", "output"):
            assert wire.id in words["power"], wire
        if kind in ("bus", "network", "signal"):
            assert wire.id in words["data"], wire
    told = joined(shown["plate"])
    for device in (device for device in plan.robot if device.spot.at.value is not None):
        assert bare(device.called or device.id)[:8] in told, device.id


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_newcomer_finds_order_tools_and_words(name: str, paper: str, packet: Packets) -> None:
    """Each tool that a card asks for, and each word of the table, on one page."""
    [page] = packet(name, paper=paper).chapter("Before you start", "What this plan rests on")
    told = joined([page])
    for card in cards(example_plan(name)):
        assert card.tool.startswith("none") or bare(card.tool) in told, card.number
        for words, tool in _ASKED_BY_STEPS.items():
            assert words not in " ".join(card.steps) or bare(tool) in told, (card.number, tool)
    for row in table("packet_word"):
        assert bare(row["word"]) + bare(row["meaning"]) in told


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_card_is_there_whole(name: str, packet: Packets) -> None:
    plan = example_plan(name)
    found = packet(name).chapter("Cards", "Pull record")
    told = joined(found)
    for card in cards(plan):
        for words in (card.title, card.tool, card.good, *card.steps, *card.cautions, *(m.words for m in card.mistakes)):
            assert bare(words) in told, (card.number, words)
        page = next(p for p in found if f"Card {card.number}: " in p.text)
        assert all(f"{used.wire} {used.end}" in " ".join(page.text.split()) for used in card.used), card.number
        strip = re.sub(r" \(.*", "", card.strip)
        assert strip in page.text, (card.number, strip)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_pull_record_has_every_sample_and_every_end(name: str, packet: Packets) -> None:
    plan = example_plan(name)
    found = packet(name).chapter("Pull record", "Wake-up: before power")
    told = " ".join(" ".join(page.text.split()) for page in found)
    for sample in pull_samples(plan):
        if sample.force_n is not None:
            assert sample.force_lbf is not None
            assert f"{sample.gauge} {sample.force_n:.0f} {sample.force_lbf:.1f} {sample.scale_kg:.1f}" in told, sample
    wires = [end.wire for group in fitted_ends(plan) for end in group.ends]
    lines = rows(found, list(dict.fromkeys(wires)), column=(13, 30))
    for group in fitted_ends(plan):
        for end in group.ends:
            line = f" {lines[end.wire]} "
            assert all(f" {word} " in line for word in printable(end.where).split()), (end, line)


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_fitted_end_has_room_for_its_result_and_for_being_made_again(name: str, packet: Packets) -> None:
    """Result and initials beside each end; for a failed one every box that the sheet has, so that it can be typed in.

    What is left out are the tool, which stands on the card, and the note, which is: what was wrong.
    """
    found = packet(name).chapter("Pull record", "Wake-up: before power")
    heads = ["wire", "end A", "hand", "held", "by", "end B", "hand", "held", "by"]
    assert any(" ".join(heads) in " ".join(word.text for word in page.body) for page in found)
    again = " ".join(word.text for page in found for word in page.body).rpartition("that were made again")[2]
    boxes = [row["key"] for row in sheet_columns() if row["sheet"] == "pull record" and row["look"] == "box"]
    assert boxes == ["made_by", "tool", "pulled_by", "held", "date", "note"]
    for box in set(boxes) - {"tool", "note"} | {"wire", "end", "what was wrong"}:
        assert box.replace("_", " ") in again, box


def sheet_columns() -> list[dict[str, str]]:
    """Return the columns of the workbook's sheets."""
    text = (files("loomwright") / "documents" / "workbook" / "sheet_columns.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


@pytest.mark.parametrize("name", EXAMPLES)
def test_wake_up_tells_each_reading_with_both_probes(name: str, packet: Packets) -> None:
    plan = example_plan(name)
    held = wake_up(plan)
    read = packet(name)
    before = joined(read.chapter("Wake-up: before power", "Wake-up: first power"))
    power = joined(read.chapter("Wake-up: first power", "Inspection list"))
    for look in held.looks:
        assert bare(look.question) in (before if look.before == "measuring" else power)
    place = 0
    for row in held.measurements:
        cells = (row.what, row.red.words, row.black.words, str(row.setting), row.expected.words.partition("; ")[0])
        for cell in cells:
            assert bare(cell) in before, (row.number, cell)
        place = before.index(f"{row.number}{bare(row.what)}", place)
    assert all(bare(line.words) in before for line in held.left_out)
    for stage in held.stages:
        assert bare(f"{stage.number}. {stage.title[0].upper()}{stage.title[1:]}") in power
        for words in (*stage.do, *stage.expect, *stage.stop):
            assert bare(words) in power, (stage.number, words)
        for row in stage.readings:
            assert f"{row.number}{bare(row.red.words)}" in power, row.number
            assert bare(row.black.words) in power, row.number
            assert bare(row.expected.words) in power
    for words in (*held.stop_always, *(row.stop.then for row in held.all_readings if row.stop)):
        assert bare(words) in before + power


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_note_and_a_stage_stand_on_the_page_where_they_are_used(name: str, paper: str, packet: Packets) -> None:
    """No letter in the column notes without its line above it on the same page; each stage whole, with its readings."""
    read = packet(name, paper=paper)
    for page in read.chapter("Wake-up: before power", "Wake-up: first power"):
        heads = [word for word in page.body if word.text == "notes" and word.bottom - word.top < 3]
        used = {word.text for head in heads for word in page.body if _starts_below(head, word, page)}
        defined = {word.text.rstrip(":") for word in page.body if re.fullmatch("[a-z]{1,2}:", word.text)}
        assert used <= defined, page.number
    pages = [joined([page]) for page in read.chapter("Wake-up: first power", "Inspection list")]
    for stage in wake_up(example_plan(name)).stages:
        parts = [f"{n}.{bare(words)}" for n, words in enumerate(stage.do, 1)]
        parts += [f"{row.number}{bare(row.red.words)}" for row in stage.readings]
        assert any(all(part in page for part in parts) for page in pages), stage.number


def _starts_below(head: Word, word: Word, page: Page) -> bool:
    """Tell whether a letter begins a cell below a column's head: nothing stands close to its left."""
    if abs(word.left - head.left) > 0.6 or word.top < head.bottom or not re.fullmatch("[a-z]{1,2}", word.text):
        return False
    line = [other for other in page.body if abs(other.top - word.top) < 1.2 and other.right < word.left]
    return all(word.left - other.right > 2 for other in line)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_inspection_list_has_every_rule_once(name: str, packet: Packets) -> None:
    plan = example_plan(name)
    told = joined(packet(name).chapter("Inspection list", "Weak points"))
    held = inspection(plan)
    assert held.items
    for item in held.items:
        assert bare(item.sentence) in told, item.rule
        assert bare(item.rule) in told
        assert bare(item.look) in told
        for place in () if item.everywhere else item.places:
            assert bare(place.device) in told, (item.rule, place)
    for off in held.off:
        assert bare(off.reason) in told


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_the_plan_rests_on_is_told_in_words(name: str, packet: Packets) -> None:
    """No file of a part, no key of a source, no name of a value that is not a word of the trade."""
    found = packet(name).chapter("What this plan rests on")[0]
    told = " ".join(found.text.split())
    assert re.findall(r"[a-z]+/[a-z0-9-]+", told) == []
    keys = [key for key in [*sources(), *ampacity_bases()] if "-" in key]
    assert [key for key in keys if key in told or key.capitalize() in told] == []
    names = {str(row["name"]) for row in rows_of("sources", example_plan(name)) if row["origin"] == "assumed"}
    assert names - {"assumption"} <= {row["name"] for held in ("part_value", "plan_value") for row in table(held)}
    assert not any(f"{value}: " in told for value in names)


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_marks_of_the_screen_are_printed(name: str, packet: Packets) -> None:
    """What is to be typed stands in quotation marks; a lone mark, or one in a name, stays what it is."""
    assert not [page.number for page in packet(name).pages if "`" in page.text]
    assert in_print("Write `jumper: yes` or `jumper: no`.") == "Write “jumper: yes” or “jumper: no”."
    for text in ("a`b`c", "``", "`", "it`s"):
        assert in_print(text) == text


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_pit_card_is_one_sheet_with_every_slot_and_chain(name: str, packet: Packets) -> None:
    plan = example_plan(name)
    card = pit_card(plan)
    read = packet(name)
    front, back, *_ = read.chapter("Pit card: before a match")
    assert read.begins(back, "Pit card: maps")
    assert all(bare(check.look) in joined([front]) and bare(check.how) in joined([front]) for check in card.checks)
    assert all(bare(halt.means) in joined([front]) and bare(halt.look_at) in joined([front]) for halt in card.halts)
    told = joined([back])
    for held in card.slots:
        for line in held.lines:
            if line.load:
                assert bare(line.load) in told, line
            assert all(wire in told for wire in line.wires)
    for chain in card.chains:
        stops = [bare(f"{stop.device}{f', id {stop.number}' if stop.number else ''}") for stop in chain.stops]
        assert all(stop in told for stop in stops), chain.name


@pytest.mark.parametrize("name", EXAMPLES)
def test_weak_points_are_told_with_what_to_do_what_costs_most_first(name: str, packet: Packets) -> None:
    """The first fifteen lines of the table, in its order, and how many places take down the whole robot."""
    plan = example_plan(name)
    points = weak_points(plan)
    told = joined(packet(name).chapter("Weak points", "Pit card: before a match"))
    place = 0
    for line in failures(plan, points)[:15]:
        place = told.index(bare(line.lost), place)
        assert all(bare(words) in told for words in (line.takes, line.do, *line.remedies)), line.lost
    robot = sum(len(point.seats) for point in points if point.whole == "robot")
    assert bare(f"each of {robot} places takes down the whole robot") in told


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_hunt_without_a_laptop_is_one_page_that_can_be_read(name: str, paper: str, packet: Packets) -> None:
    """Danger first, then every symptom with its checks and answers, each state told; no letter below 6.5 points."""
    read = packet(name, paper=paper)
    page, following, *_ = read.chapter("Hunt: no time to type")
    assert read.begins(following, "Pit card: before a match") or read.begins(following, "Shopping and spares")
    told = joined([page])
    assert told.index("Smoke,hiss,swelling") < told.index("Everythingisdark")
    for one in hunt_sheet(robot_hunt(example_plan(name))):
        assert bare(one.symptom) in told
        for check in one.checks:
            assert bare(check.how) in told, check
            for answer in check.answers:
                assert bare(f"{answer.shows} → {'go on' if answer.on else answer.tells}") in told, answer
    assert "OUT:Mainbreakeroff,batteryplugapart" in told
    assert min(size_pt(page)) >= 6.5


def size_pt(page: Page) -> list[float]:
    """Return the size of type of the states, by how high the O in them stands: 0.7 of it [pt], 0.02 for rounding."""
    capitals = [word for word in page.body if word.text in ("OUT", "ON")]
    return [(word.bottom - word.top) * 72 / 25.4 / 0.7 + 0.02 for word in capitals]


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_to_buy_and_to_carry_is_counted(name: str, packet: Packets) -> None:
    plan = example_plan(name)
    told = joined(packet(name).chapter("Shopping and spares"))
    for line in bag_list(plan).lines:
        assert bare(line.what) in told
        assert bare(f"{line.bags} of {line.bag:g}" if line.bag > 1 else f"{line.needed:g} pieces {line.bags}") in told
    for wire in wire_beside(plan):
        assert bare(f"{wire.gauge} {wire.samples_m:g} {wire.kit_m:g}") in told
    for one in pit_kit(plan, weak_points(plan)):
        assert bare(one.spare.what) in told
        assert bare(one.why) in told


@settings(
    max_examples=int(os.environ.get("FUZZ_EXAMPLES", "3")), suppress_health_check=list(HealthCheck), deadline=None
)
@given(st.data())
def test_a_generated_robot_has_a_sound_packet(data: st.DataObject) -> None:
    """Whatever hangs on it: every wire once in build order with its facts, and nothing over anything."""
    plan = plan_of(as_text(data.draw(robots(most_motors=5))))
    read = Packet(packet_pdf(plan, paper=data.draw(st.sampled_from(["a4", "letter"]))))
    for page in read.pages:
        assert overlapping(page) == []
        assert all(word.left > 10 and word.right < page.width_mm - 10 for word in page.words)
    wires = {row.wire: row for row in wire_rows(plan)}
    told = rows(read.chapter("Wires in build order", "Cut list"), list(wires), column=(20, 36))
    assert list(told) == [wire for group in build_order(plan) for wire in group.wires]
    for wire, row in wires.items():
        assert all(f" {word} " in f" {told[wire]} " for end in (row.a, row.b) for word in end.where.split())
