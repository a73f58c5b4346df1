"""A list of what is wired becomes a robot file: what it keeps, what it asks for, and how its faults are told."""

from __future__ import annotations

import io
import re
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from xlsxwriter import Workbook

from loomwright.documents.tables.columns import columns
from loomwright.findings import UnreadableInputError
from loomwright.model.fact import State
from loomwright.robotfile.from_list import robot_from_list
from loomwright.robotfile.lists.circuit_list import MEANINGS, MOST_ROWS, WORKED_OUT
from loomwright.robotfile.lists.headings import heading_of
from loomwright.wiring.result import CircuitKind
from tests.robotfile.key_tables import PAGE
from tests.robots import LIBRARY, robot_of

TYPED = """\
name,slot,protection,gauge,colour,length,part,who wired it
left drive,H1,40 A,12 AWG,"red, black",85 cm,,Mia
intake,L1,30 A,14 AWG,,,motor/brushless-350w,"Ben, on ""Tuesday"": # late"
radio,F2,10 A,18 AWG,,50 cm,grey box,
camera,L9,,?,,unknown,camera/network,
"""


def text_of(table: str | bytes, file: str = "ours.csv") -> str:
    """Make the robot file of a list."""
    data = table.encode() if isinstance(table, str) else table
    return robot_from_list(data, file=file, robot="Plover", library=LIBRARY).decode()


def content(table: str | bytes, file: str = "ours.csv") -> Any:  # noqa: ANN401  whatever the file says
    """Give what the robot file of a list says, as any reader of YAML takes it."""
    return yaml.safe_load(text_of(table, file))


def faults_of(table: str | bytes) -> list[str]:
    """Give the first line of every fault."""
    with pytest.raises(UnreadableInputError) as caught:
        text_of(table)
    return [fault.as_text().splitlines()[0] for fault in caught.value.faults]


def plain(text: str) -> str:
    """Give the text of a file without the signs of comments and the breaks of lines."""
    return " ".join(re.sub(r"^\s*#", " ", text, flags=re.MULTILINE).split())


def test_what_a_typed_list_says_is_kept_and_what_it_leaves_out_is_unknown() -> None:
    """Slots are traced, classes that nobody named are unknown with the nearest beside them, and it is all asked."""
    text = text_of(TYPED)
    said = yaml.safe_load(text)
    assert said["unsaid"] == "ask"
    assert said["battery"] == {"part": "unknown", "plug": "unknown"}
    assert said["blocks"] == {"block": {"part": "unknown"}}
    assert said["mechanisms"]["left drive"] == {
        "motor": "unknown", "controller": "unknown", "slot": "H1 (traced)", "protection": "40 A", "length": "85 cm",
        "wire": "12 AWG", "plus colour": "red", "minus colour": "black",
    }  # fmt: skip
    assert said["mechanisms"]["intake"]["motor"] == "motor/brushless-350w"
    assert said["electronics"]["camera"] == {
        "part": "camera/network", "slot": "L9 (traced)", "length": "unknown", "wire": "unknown",
    }  # fmt: skip
    assert "part: unknown   # perhaps radio/generic or radio/plug-fed" in text
    assert "part: unknown   # perhaps block/6-heavy-10-light-2-fused or" in text
    assert '# line 3: who wired it: Ben, on "Tuesday": # late' in text
    assert "# line 4: part: grey box" in text
    robot = robot_of(text)
    assert robot.asks
    slot = next(device for device in robot if device.called == "camera").feed.slot
    assert (slot.value, slot.state) == ("L9", State.TRACED)


def test_a_line_that_names_the_sign_between_columns_is_understood() -> None:
    """Some spreadsheets begin a file with `sep=;`, which is no row of it."""
    assert content("sep=;\nname;slot\nradio, left;F2\n")["electronics"]["radio, left"]["slot"] == "F2 (traced)"
    assert faults_of("sep=;\nname;length\nradio;far\n") == ["ours.csv:2:2  radio, length  [bad-value] must"]


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("sign", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_every_way_in_which_spreadsheets_write_csv_is_read(mark: bytes, sign: str, end: str) -> None:
    """Commas, semicolons or tabs, with or without the mark of UTF-8, either end of line: the same robot."""
    rows = ["Name|Slot|Length", '"Ärmel, left"|H1|85 cm', "010|H2|1 1/2 in"]
    table = mark + end.join(rows).replace("|", sign).encode() + end.encode()
    assert content(table) == content('name,slot,length\n"Ärmel, left",H1,85 cm\n010,H2,1 1/2 in\n')


@pytest.mark.parametrize("saved_as", ["utf-16", "cp1252"])
def test_text_that_spreadsheets_save_in_another_way_is_read(saved_as: str) -> None:
    """As Unicode text with tabs, or in the letters of Windows; half a UTF-16 file is none."""
    table = "slot\tmotor\tbreaker\tgauge\nH1\tÄrmel – left\t40 A\t12 AWG\n"
    assert content(table.encode(saved_as)) == content(table)
    assert faults_of("name,slot\nradio,F2\n".encode("utf-16")[:-1]) == ["ours.csv:1:1  [not-utf-8] must"]


def test_a_list_of_more_circuits_than_a_robot_has_is_refused() -> None:
    """One fault in one line, at the first row too many."""
    rows = "".join(f"thing {n}\n" for n in range(MOST_ROWS + 2))
    assert faults_of(f"name\n{rows}") == [f"ours.csv:{MOST_ROWS + 2}  [too-many-rows] must"]


def test_a_comma_is_a_decimal_sign_where_it_parts_no_columns() -> None:
    """A spreadsheet that writes 0,9 parts its columns with semicolons; with commas such a number is refused."""
    assert content("name;length\nradio;0,9 m\n")["electronics"]["radio"]["length"] == "0.9 m (traced)"
    assert content("name;length [m]\nradio;0,925\n")["electronics"]["radio"]["length"] == "0.925 m (traced)"
    assert faults_of('name,length\nradio,"0,9 m"\n') == ["ours.csv:2:2  radio, length  [bad-value] must"]


@pytest.mark.parametrize(
    "title", ["length_m", "Length [m]", "LENGTH (m)", "length [ m ]", "length m", "One way [m]", "length_M"]
)
def test_a_title_is_taken_however_it_is_typed(title: str) -> None:
    """The key of a script and the words above a column mean the same; a bare number has the unit of its column."""
    assert content(f"Circuit,{title}\nradio,0.5\n")["electronics"]["radio"]["length"] == "0.5 m (traced)"


def test_a_workbook_is_read_like_a_csv_file_and_titles_above_the_table_are_passed_over() -> None:
    """The same list typed into a workbook, on its second sheet under a title, is the same robot."""
    target = io.BytesIO()
    with Workbook(target) as book:
        book.add_worksheet("notes").write_row(0, 0, ["nothing here"])
        sheet = book.add_worksheet("wiring")
        sheet.write_row(0, 0, ["What is on each slot"])
        sheet.write_row(2, 0, ["Circuit", "Slot", "Protection [A]", "Seen"])
        sheet.write_row(3, 0, ["radio", "F2", 10, True])
    text = text_of(target.getvalue(), "ours.xlsx")
    assert yaml.safe_load(text)["electronics"]["radio"] == {
        "part": "unknown", "slot": "F2 (traced)", "protection": "10 A",
    }  # fmt: skip
    assert "# line 4: Seen: yes" in text


def test_a_state_in_the_list_stands_behind_the_slot() -> None:
    """Fitted and guessed are kept; planned is written as nothing; what `plan` calls unknown is doubtful."""
    said = content("name,slot,state\na,H1,fitted\nb,H2,Guessed\nc,H3,planned\nd,H4,unknown\ne,H5,\n")["electronics"]
    assert [said[name]["slot"] for name in "abcde"] == ["H1 (fitted)", "H2 (guessed)", "H3", "H4 (guessed)", "H5"]


def test_a_value_that_looks_like_a_short_form_keeps_its_state_in_the_long_form() -> None:
    """A slot that is really called `S (left)` is quoted, so its state can't stand in a bracket behind it."""
    text = text_of("name,slot\nradio,S (left)\n")
    slot = next(device for device in robot_of(text) if device.called == "radio").feed.slot
    assert (slot.value, slot.state) == ("S (left)", State.TRACED)


def test_a_guess_and_a_name_that_is_no_id_are_taken_as_they_are_meant() -> None:
    """`H3?` and `H3 (guessed)` are guesses; a bracket in a name goes, and the name as it was typed is kept."""
    said = content("name,slot\nradio (left),H3?\nbox,H4 (Fitted)\n")["electronics"]
    assert said["radio left"] == {"part": "unknown", "slot": "H3 (guessed)", "also called": "radio (left)"}
    assert said["box"]["slot"] == "H4 (fitted)"
    assert faults_of("name\nradio (left)\nradio left\n") == ["ours.csv:3:1  name  [named-twice] must"]


@pytest.mark.parametrize("typed", ["red, black", "red and black", "RD;BK"])
def test_two_colours_are_those_of_the_pair_and_more_are_kept(typed: str) -> None:
    """One column holds both wires' colours; three colours have no place, so they stand in the remark."""
    thing = content(f'name,colour\nradio,"{typed}"\n')["electronics"]["radio"]
    assert [thing["plus colour"][0].upper(), thing["minus colour"][0].upper()] == ["R", "B"]
    assert content("name,colour\nradio,red\n")["electronics"]["radio"] == {"part": "unknown", "plus colour": "red"}
    assert "# line 2: colour: red, black, white" in text_of('name,colour\nradio,"red, black, white"\n')


FAULTY = """\
circuit,kind,slot,protection,gauge,length,length_cm,colour,part,state
radio,branch,F2,10 A,18 AWG,50 cm,50,red,radio/generic,fitted
,branch,H2,,,,,,,
radio,branch,H3,,,,,,,
lift,brunch,H4,,,,,,,
arm,branch,H5,40,12 AWG,,,,,
roller,branch,H6,40 A,12,,,,,
light,branch,L1,,,60 cm,61,,,
beacon,branch,L2,,,,,red/black,,
camera,branch,L3,,,,,rde,,
eye,branch,L4,,,,,,camera/netwrok,
ear,branch,L5,,,,,,,traecd
main chain: one,bus,,,,,,,,
main,branch,L6,,,,,,,
"""


def test_every_row_that_cant_be_understood_is_told_at_once_with_its_line_and_column() -> None:
    """One fault in each row, and none hides another; the place is a line and a column of the list."""
    assert faults_of(FAULTY) == [
        "ours.csv:3  [no-name] must",
        "ours.csv:4:1  circuit  [named-twice] must",
        "ours.csv:5:2  kind  [unknown-kind] must",
        "ours.csv:6:4  arm, protection  [bad-value] must",
        "ours.csv:7:5  roller, gauge  [bad-value] must",
        "ours.csv:8:7  length_cm  [two-values] must",
        "ours.csv:9:8  colour  [two-colours] must",
        "ours.csv:10:8  camera, colour  [unknown-colour] must",
        "ours.csv:11:9  eye, part  [unknown-part] must",
        "ours.csv:12:10  state  [unknown-state] must",
        "ours.csv:13  [no-ends] must",
        "ours.csv:14  main  [reserved-id] must",
    ]


@pytest.mark.parametrize(
    ("table", "told"),
    [
        ("", "ours.csv  [no-column-names] must"),
        ("slot,gauge\nH1,12 AWG\n", "ours.csv  [no-column-names] must"),
        ("name,slot\n", "ours.csv  [empty-list] must"),
        ("name,slot\nradio,F2,40 A\n", "ours.csv:2:3  [row-too-long] must"),
        ("name,slot,\nradio,F2,40 A\n", "ours.csv:2:3  [no-column-name] must"),
        ('name,slot\nradio,"F2\n', "ours.csv:2  [not-a-table] must"),
        ('name,slot\nradio,"F2"x\n', "ours.csv:2  [not-a-table] must"),
        (f"name,slot\nradio,{'F' * 5001}\n", "ours.csv:2:2  [cell-too-long] must"),
        ("name,breaker,fuse\nradio,40 A,10 A\n", "ours.csv  fuse  [column-twice] must"),
        (b"name,slot\nr\x81dio,F2\n", "ours.csv:2:2  [not-utf-8] must"),
        (b"PK\x03\x04 no workbook", "ours.csv  [not-a-workbook] must"),
    ],
)
def test_what_is_no_table_is_refused_where_it_stops_being_one(table: str | bytes, told: str) -> None:
    """A head, a row and a cell are each told where they stand, and with a way out."""
    assert told in faults_of(table)


def test_data_wires_make_a_chain_and_a_chain_with_a_gap_is_asked() -> None:
    """The order of a bus follows from its cables in any order of rows; two pieces of a chain have no order."""
    rows = ["c: mid to end,bus,mid,end", "c: start to mid,bus,start,mid", "n: start to end,network,start,end"]
    said = content("circuit,kind,source,load\n" + "\n".join(rows) + "\n")
    assert said["data"] == {
        "c": {"order": {"value": ["start", "mid", "end"], "state": "traced"}},
        "n": {"kind": "network", "links": [["start", "end"]]},
    }
    gap = content("circuit,kind,source,load\nc: a to b,bus,a,b\nc: x to y,bus,x,y\n")
    assert gap["data"]["c"] == {"order": "unknown", "devices": ["a", "b", "x", "y"]}
    ring = content("circuit,kind,source,load\nc: a to b,bus,a,b\nc: b to a,bus,b,a\n")
    assert ring["data"]["c"]["order"] == "unknown"


def test_the_coils_of_a_valve_become_its_channels() -> None:
    """Two feeds of one valve are its channels in order; a second feed of anything else is kept as it stands."""
    head = "circuit,kind,load,source,slot,length\n"
    said = content(f"{head}gate: coil b,output,gate,air,valve 2,30 cm\ngate,output,gate,air,valve 3,40 cm\n")
    gate = said["pneumatics"]["gate"]
    assert gate == {
        "part": "unknown",
        "module": "air",
        "channels": [3, 2],
        "length": "40 cm",
    }  # its slot is what was traced
    text = text_of(f"{head}hub: second,branch,hub,block,L2,30 cm\nhub,branch,hub,block,L1,40 cm\n")
    assert "# line 2: hub: second: source: block; slot: L2; length: 30 cm" in text


def test_a_thing_that_is_moved_to_motors_by_its_name_says_so() -> None:
    """A name or a breaker of 30 A makes a motor, a name of a sensor does not; the remark says how to undo it."""
    said = content("name,protection\nlift,\nlift switch,\npump,40 A\nbox,40 A\n")
    assert set(said["mechanisms"]) == {"lift", "box"}
    assert "taken for a motor by its breaker; if it is none" in plain(text_of("name,protection\nbox,40 A\n"))


def test_every_column_of_our_own_list_has_a_place() -> None:
    """A column is a fact, worked out again, or kept as a remark; a new one has to be thought about here."""
    kept = {"path"}
    for column in columns("circuits"):
        for title in (column.key, column.title):
            name = heading_of(title).name
            assert name in MEANINGS or name in WORKED_OUT or name in kept or heading_of(column.title).name in WORKED_OUT


def test_the_page_names_only_columns_that_are_understood() -> None:
    """Every column of the table in docs/robot-file.md means something, and every kind of circuit stands in it."""
    section = PAGE.read_text(encoding="utf-8").split("\n## A robot that is wired already\n")[1].split("\n## ")[0]
    rows = re.findall(r"^\| (`.*?) \| (.*) \|$", section, re.MULTILINE)
    assert len(rows) == 8
    for titles, meaning in rows:
        for title in re.findall("`(.*?)`", titles):
            assert heading_of(title).name in MEANINGS
        assert "`kind`" not in titles or {f"`{kind}`" for kind in CircuitKind} <= set(re.findall("`.*?`", meaning))


#: A sign that might mean something to YAML, to CSV or to a spreadsheet, a letter, and any signs behind them.
NAMES = st.tuples(
    st.sampled_from(["", *"#'\"[{&*!|>%@`-=+(:"]),
    st.text(st.sampled_from("abÄ 0:#'\"[]{},&*!|>%@`-=+()\\"), max_size=12),
).map(lambda pair: " ".join(f"{pair[0]}b{pair[1]}".split()))


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(NAMES, NAMES, NAMES, NAMES), min_size=1, max_size=5, unique_by=lambda row: row[0].casefold()))
def test_nothing_in_a_list_is_lost(rows: list[tuple[str, str, str, str]]) -> None:
    """Whatever signs a name, a slot, a label or a column of the team's own has, the robot file still says it."""
    quoted = [",".join('"' + cell.replace('"', '""') + '"' for cell in row) for row in rows]
    try:
        text = text_of("name,slot,slot label,our own\n" + "\n".join(quoted) + "\n")
    except UnreadableInputError as error:
        assert {fault.code for fault in error.faults} <= {"named-twice"}  # noqa: PT017
        return
    robot = robot_of(text)
    for name, slot, label, own in rows:
        device = next(device for device in robot if name in (device.called, *device.also_called))
        assert device.feed.slot.value == slot
        assert plain(f"our own: {own}") in plain(text)
        host = next(device for device in robot if device.kind == "block")
        assert label in (*(fact.value for fact in host.labels.values()),) or plain(f"slot label: {label}") in plain(
            text
        )


@settings(max_examples=80, deadline=None)
@given(st.one_of(st.text(max_size=200), st.text(st.sampled_from('name,slot;\t\n"x1\r -?'), max_size=80)), st.booleans())
def test_no_text_brings_it_down(text: str, head: bool) -> None:  # noqa: FBT001  hypothesis chooses
    """Any text is a robot file or a list of faults that point into the list, never anything else."""
    table = f"name,slot\n{text}" if head else text
    try:
        robot_of(text_of(table.encode("utf-8", "surrogatepass")))
    except UnreadableInputError as error:
        assert all(fault.place.file == "ours.csv" and fault.what and fault.fix for fault in error.faults)  # noqa: PT017
