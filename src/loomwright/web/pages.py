"""The pages: what each one shows, handed to its template as plain data, every text of it escaped."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from fastapi import APIRouter, Request, Response
from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import escape
from starlette.responses import RedirectResponse

from loomwright.jobs.rack.day_papers import steps_today
from loomwright.proof.as_built.looks_now import standing_now
from loomwright.records.event import Role
from loomwright.web.address import lonely_words, no_network_words
from loomwright.web.admission import JOIN_PAGE
from loomwright.web.desk import Desk, DeskHere, SeatHere
from loomwright.web.headers import DRAWING_POLICY
from loomwright.web.joining import spaced
from loomwright.web.packed import ASK_FIRST, FOR_GOOD, NEVER_KEEP, pack, sent
from loomwright.web.refusal import Refusal, RefusedError
from loomwright.web.screens import SVG
from loomwright.web.session import Seat
from loomwright.web.share_code import code_svg, join_line, join_url
from loomwright.web.views.drawings import drawing_screen
from loomwright.web.views.ends import ends_screen
from loomwright.web.views.frame import TABS, frame
from loomwright.web.views.hunt import hunt_screen
from loomwright.web.views.lit import lit_on
from loomwright.web.views.pull import pull_screen
from loomwright.web.views.rack import rack_screen
from loomwright.web.views.team import team_screen
from loomwright.web.views.trace import trace_screen
from loomwright.web.views.wake_up import wake_screen

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from loomwright.jobs.bench import BenchView

#: The pages that there are, in the order of the navigation.
PAGES: Final = tuple(href for _, href, _ in TABS)
_HTML: Final = "text/html; charset=utf-8"
_QUICK: Final = 5
_RACK_S: Final = 60
#: Where a page has the name of whoever joined; what stands before it is escaped, so nothing else reads like this.
_NOBODY: Final = b'data-joined=""'

router: Final = APIRouter(include_in_schema=False)


def templates() -> Environment:
    """Return the templates of the package: every value is escaped, one that is missing is an error."""
    loader = PackageLoader("loomwright.web", "templates")
    return Environment(loader=loader, autoescape=True, undefined=StrictUndefined, auto_reload=False, trim_blocks=True)


_TEMPLATES: Final = templates()


def make_ready() -> None:
    """Read the templates and what draws the cards, so that the first page need not wait for it."""
    import loomwright.documents.end_cards.apart  # noqa: F401, PLC0415  read before it is needed

    for page in ("ends", "pull", "rack"):
        _TEMPLATES.get_template(template_of(page))


@router.get("/")
def start() -> Response:
    """Lead to the first page."""
    return RedirectResponse(PAGES[0], 303)


@router.get("/ends")
def ends(request: Request, desk: DeskHere, seat: SeatHere) -> Response:
    """Show every end in the order of building."""
    return _page("ends", request, desk, seat, lambda view: ends_screen(view, desk.drawn))


@router.get("/pull")
def pull(request: Request, desk: DeskHere, seat: SeatHere) -> Response:
    """Show the ends that wait for a pull, and the sample crimps."""
    return _page("pull", request, desk, seat, lambda view: pull_screen(view, desk.drawn))


@router.get("/wake-up")
def wake_up(request: Request, desk: DeskHere, seat: SeatHere) -> Response:
    """Show the readings before power and the stages of the first power."""
    now, view = desk.clock.stamp(), desk.bench.view()
    more = standing_now(view.state, view.plan.robot.build, now)
    return _page("wake-up", request, desk, seat, lambda view: wake_screen(view, now), more=more)


@router.get("/plate")
@router.get("/spine")
def drawn(request: Request, desk: DeskHere, seat: SeatHere) -> Response:
    """Show the Plate or the Spine with what is done on it."""
    name = request.url.path.removeprefix("/")
    lit_on(desk.bench, desk.bench.view())

    def told(view: BenchView) -> dict[str, Any]:
        return drawing_screen(view, desk.screens.drawing(name, view).body, lit_on(desk.bench, view))

    return _page(name, request, desk, seat, told)


@router.get("/rack")
def rack(request: Request, desk: DeskHere, seat: SeatHere) -> Response:
    """Show batteries and chargers: which is next, who charges, what is known of each."""
    # What cools and what stands about changes by itself; a page is made anew at most so often.
    now_s = desk.clock.utc().timestamp() // _RACK_S * _RACK_S
    steps = steps_today(desk.bench.folder, desk.clock.utc().astimezone().date())
    more = f"{now_s} {len(steps)} {steps[:1]}"
    return _page(
        "rack", request, desk, seat, lambda view: rack_screen(desk.bench.rack(view, now_s / 86400), steps), more=more
    )


@router.get("/hunt")
def hunt(request: Request, desk: DeskHere, seat: SeatHere) -> Response:
    """Show where the hunt for a fault stands: what to check next, what it may be, what to mend."""
    # Worked out before the page is asked for, so that nobody else's page waits for it.
    desk.bench.hunt(desk.bench.view())
    return _page("hunt", request, desk, seat, lambda view: hunt_screen(view, desk.bench.hunt(view), desk.drawn))


@router.get("/trace")
def trace(request: Request, desk: DeskHere, seat: SeatHere) -> Response:
    """Walk a robot that is wired, slot by slot."""
    return _page("trace", request, desk, seat, trace_screen)


@router.get("/team")
def team(request: Request, desk: DeskHere, seat: SeatHere) -> Response:
    """Show what is left, who waits for whom, tools and people."""
    return _page("team", request, desk, seat, team_screen)


@router.get("/cards/{number}-{nth}.svg")
def card(number: int, nth: int, request: Request, desk: DeskHere, _seat: SeatHere) -> Response:
    """Give one of the pictures of a kind of end."""
    held = desk.screens.picture(number, nth, desk.bench.view(), desk.drawn)
    if held is None:
        raise RefusedError(_NOT_THERE)
    return sent(held, request.headers, keep=ASK_FIRST, **{"Content-Security-Policy": DRAWING_POLICY})


@router.get("/plate.svg")
@router.get("/spine.svg")
def drawing(request: Request, desk: DeskHere, _seat: SeatHere) -> Response:
    """Give a drawing of the plan."""
    name = request.url.path.removeprefix("/").removesuffix(".svg")
    held = desk.screens.drawing(name, desk.bench.view())
    return sent(held, request.headers, keep=ASK_FIRST, **{"Content-Security-Policy": DRAWING_POLICY})


@router.get("/share")
def share(request: Request, desk: DeskHere, seat: SeatHere) -> Response:
    """Show a mentor how phones join."""
    _for_mentors(seat)
    settings = desk.settings
    words = lonely_words(settings.phone_url) if settings.phone_url else no_network_words()
    told = {
        "share": settings.share,
        "url": settings.phone_url,
        "line": join_line(settings),
        "code": spaced(settings.secrets.join_code) if settings.share else "",
        "visitors": desk.visitors.count,
        "words": "" if desk.visitors.count or not settings.share else words,
    }
    return _page("share", request, desk, seat, lambda _view: {"share": told}, more=str(told["visitors"]))


@router.get("/share.svg")
def share_svg(request: Request, desk: DeskHere, seat: SeatHere) -> Response:
    """Give the code that phones read."""
    _for_mentors(seat)
    if not (url := join_url(desk.settings)):
        raise RefusedError(_NOT_THERE)
    return sent(pack(code_svg(url), SVG), request.headers, keep=NEVER_KEEP)


@router.get(JOIN_PAGE)
def join(request: Request, desk: DeskHere, to: str = "") -> Response:
    """Ask for the code; whoever has joined already may go on."""
    seat: Seat | None = request.state.seat
    told = {"seat": seat, "to": to if to in PAGES else PAGES[0]}
    return _html(_rendered("join.html", desk, told), request)


@router.get("/static/{whole}/{name:path}")
def static(whole: str, name: str, request: Request, desk: DeskHere) -> Response:
    """Give a file of the table; its address changes with its content, so that it may be kept for good."""
    held = desk.static.files.get(name) if whole == desk.static.hash else None
    if held is None:
        raise RefusedError(_NOT_THERE)
    return sent(held, request.headers, keep=FOR_GOOD)


def refused_page(refusal: Refusal, desk: Desk) -> Response:
    """Tell somebody who opened a page why they do not see it, and lead back."""
    html = _rendered("refused.html", desk, {"what": refusal.what, "fix": refusal.fix, "home": PAGES[0]})
    headers = {"Cache-Control": NEVER_KEEP, **dict(refusal.headers)}
    return Response(html, refusal.status, headers, _HTML)


def template_of(page: str) -> str:
    """Return the name of a page's template; the drawings share one."""
    return "drawing.html" if page in ("plate", "spine") else f"{page.replace('-', '_')}.html"


def _page(
    name: str, request: Request, desk: Desk, seat: Seat, told: Callable[[BenchView], dict[str, Any]], *, more: str = ""
) -> Response:
    """Send a page, the same for everybody of a role but for a name; `more` is what it shows besides the bench."""
    view, trouble = desk.bench.view(), desk.pulse.beat.trouble

    def made() -> bytes:
        around = frame(view, name, seat.role) | {"shared": desk.settings.share, "trouble": trouble}
        return _rendered(template_of(name), desk, {**around, **told(view)})

    tag = f"{view.edition} {view.arrival} {view.stale} {more} {trouble}"
    html = desk.screens.page(f"{name} {seat.role}", tag, made)
    return _html(html.replace(_NOBODY, f'data-joined="{escape(seat.who)}"'.encode(), 1), request)


def _rendered(template: str, desk: Desk, told: Mapping[str, Any]) -> bytes:
    modules = [name for name in desk.static.files if name.startswith("js/")]
    return _TEMPLATES.get_template(template).render(static=desk.static.url, modules=modules, **told).encode()


def _html(html: bytes, request: Request) -> Response:
    return sent(pack(html, _HTML, level=_QUICK), request.headers, keep=ASK_FIRST)


def _for_mentors(seat: Seat) -> None:
    if seat.role is not Role.MENTOR:
        raise RefusedError(
            Refusal(403, "mentors-only", "Only a mentor sees this.", "Open it on the laptop that serves the bench.")
        )


_NOT_THERE: Final = Refusal(404, "not-there", "There is nothing under this address.", "Begin at /ends.")
