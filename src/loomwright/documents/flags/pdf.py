"""The sheets of flags as a PDF to print at 100 %."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from loomwright.documents.flags.code import QUIET, code, runs
from loomwright.documents.flags.rows import Flag, flags
from loomwright.documents.flags.sheet import Print, flag_pages
from loomwright.documents.flags.stock import label_stock, paper_stock
from loomwright.documents.look import INK
from loomwright.documents.scene import Group, Rect, Scene
from loomwright.documents.typst.code import mm, printable, string
from loomwright.documents.typst.compile import document, pdf
from loomwright.documents.typst.scene import scene_code
from loomwright.plan.result import Plan


def flags_pdf(
    plan: Plan, *, stock: str = "", page: str = "A4", start: int = 1, order: Sequence[str] | None = None
) -> bytes:
    """Return the PDF of all flags of a plan.

    `stock` is a label sheet by name, "" for plain paper of the size `page` ("A4" or "Letter"); the first flag goes on
    label `start` of the first page. `order` is the order of building as wire ids, None for the wire table's.

    Raises
    ------
    ValueError
        For a sheet or page that there is not, a start that is not on the page, or an order of other wires.
    """
    sheet = label_stock(stock) if stock else paper_stock(page)
    held = [_in_our_signs(flag) for flag in flags(plan, order=order)]
    about = Print(robot=printable(plan.robot.name), build=printable(plan.robot.build), revision=plan.revision)
    scenes = flag_pages(held, stock=sheet, about=about, start=start, shapes=False)
    return pdf({"main.typ": document(f"{about.robot}: flags") + "".join(map(_page, scenes))})


def flag_scenes(
    plan: Plan, *, stock: str = "", page: str = "A4", start: int = 1, order: Sequence[str] | None = None
) -> tuple[Scene, ...]:
    """Return the pages of `flags_pdf` as scenes, with the codes as shapes and names as they are; it raises the same."""
    sheet = label_stock(stock) if stock else paper_stock(page)
    about = Print(robot=plan.robot.name, build=plan.robot.build, revision=plan.revision)
    return flag_pages(flags(plan, order=order), stock=sheet, about=about, start=start)


def _in_our_signs(flag: Flag) -> Flag:
    """Write a flag's words as the shipped fonts can, before they are measured; its code keeps every sign."""
    use, slot, where, far = map(printable, (flag.use, flag.slot, flag.where, flag.far))
    return replace(flag, use=use, slot=slot, where=where, far=far)


def _page(scene: Scene) -> str:
    size = f"width:{mm(scene.width_mm)},height:{mm(scene.height_mm)}"
    codes = "".join(_code(group) for group in scene.groups("code"))
    return f"#page({size},margin:0mm)[\n#place(top+left)[{scene_code(scene)}]\n{codes}]\n"


def _code(group: Group) -> str:
    """Place a code on its white square as a picture of one shape; its text is what is read out."""
    ground = group.items[0]
    made = code(group.title)
    if not isinstance(ground, Rect):
        raise TypeError("a code's first mark is its square")
    ways = "".join(f"M{first} {row}h{end - first}v1h{first - end}z" for row, first, end in runs(made.modules))
    view = f"{-QUIET} {-QUIET} {made.across} {made.across}"
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{view}"><path d="{ways}" fill="{INK}"/></svg>'
    said = f"width:{mm(ground.width)},alt:{string(group.title)}"
    return f'#place(top+left,dx:{mm(ground.x)},dy:{mm(ground.y)},image(bytes({_raw(svg)}),format:"svg",{said}))\n'


def _raw(svg: str) -> str:
    """Return our own code as a string literal."""
    return '"' + svg.replace('"', '\\"') + '"'
