"""What an endpoint works with: the ledger, the voice of whoever asks, and the ways to answer."""

from datetime import datetime
from functools import cache
from typing import Any
from urllib.parse import quote

import jinja2
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from drawthrough.report.voice import LANGUAGES, MEASURES, N_, Voice
from drawthrough.web.assets import address as asset_address
from drawthrough.web.bytes_in import Sent, sent_by
from drawthrough.web.ledger import Ledger, Opened
from drawthrough.web.next_line import next_line
from drawthrough.web.preferences import LIGHTS, preferences_of
from drawthrough.web.road import BY_CODE, road_of
from drawthrough.web.timepiece import Timepiece
from drawthrough.web.timers import timers_of
from drawthrough.web.views import View
from drawthrough.web.views.shell import Choice, Next, Shell

_LIGHT_NAMES = {"": N_("as the phone has it"), "light": N_("Light"), "dark": N_("Dark")}
_MEASURE_NAMES = {"field": N_("Field units"), "SI": N_("SI units")}


@cache
def templates() -> jinja2.Environment:
    """Return the environment of the templates."""
    made = jinja2.Environment(
        loader=jinja2.PackageLoader("drawthrough.web"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals["asset"] = asset_address
    return made


class Desk:
    """One request, and everything that answers it."""

    def __init__(self, request: Request) -> None:
        self.request = request
        self.ledger: Ledger = request.app.state.ledger
        self.timepiece: Timepiece = request.app.state.timepiece
        self.preferences = preferences_of(request)
        self.voice: Voice = self.preferences.voice

    # --- what came in ---

    def opened(self) -> Opened:
        """Return the visit that the address names.

        Raises
        ------
        Refusal
            There is no such visit.
        """
        return self.ledger.opened(str(self.request.path_params["visit"]))

    async def sent(self) -> Sent:
        """Return what the form sent."""
        return await sent_by(self.request)

    @property
    def small(self) -> bool:
        """Does the page ask for a fragment of itself, rather than the browser for a page?"""
        return self.request.headers.get("hx-request") == "true"

    # --- time ---

    def now(self) -> datetime:
        """Return the time of the place."""
        return self.timepiece.local(self.timepiece.milliseconds())

    def time_of_day(self, milliseconds: int) -> str:
        """Return a moment as hours and minutes of the place."""
        return self.timepiece.local(milliseconds).strftime("%H:%M")

    def day(self, milliseconds: int) -> str:
        """Return a moment as the day on which it was, ISO 8601."""
        return self.timepiece.local(milliseconds).strftime("%Y-%m-%d")

    def next_line(self, opened: Opened, room: str = "") -> Next | None:
        """Return the one line that says what is worth doing now on a visit, seen from one of its rooms."""
        return next_line(opened, self.voice, room, self.timepiece.milliseconds() / 1000)

    # --- what goes out ---

    def shell(
        self, title: str, *, opened: Opened | None = None, room: str = "", up: tuple[str, str] | None = None,
        next_: Next | None = None,
    ) -> Shell:  # fmt: skip
        """Return what stands around a page."""
        say = self.voice.say
        if opened is not None and up is None:
            up = (f"/visit/{opened.id}", say(N_("Road"))) if room else ("/", say(N_("Visits")))
        here = self.request.url.path if self.request.method == "GET" else (up or ("/",))[0]
        return Shell(
            title=title,
            language=self.preferences.language,
            languages=tuple(
                Choice(code=code, name=name, chosen=code == self.preferences.language)
                for code, name in LANGUAGES.items()
            ),
            measures=tuple(
                Choice(code=code, name=say(_MEASURE_NAMES[code]), chosen=code == self.preferences.measures)
                for code in MEASURES
            ),
            light=self.preferences.light,
            lights=tuple(
                Choice(code=code, name=say(_LIGHT_NAMES[code]), chosen=code == self.preferences.light)
                for code in LIGHTS
            ),
            here=here,
            visit=opened.id if opened is not None else "",
            up=up[0] if up else "",
            up_name=up[1] if up else "",
            road=road_of(opened, self.voice, self.time_of_day) if opened is not None else (),
            room=room,
            next=next_,
            timers=timers_of(opened, self.voice, self.timepiece) if opened is not None else (),
        )

    def page(
        self, template: str, view: View, title: str, *, opened: Opened | None = None, room: str = "",
        up: tuple[str, str] | None = None, next_: Next | None = None, status: int = 200,
    ) -> Response:  # fmt: skip
        """Answer with a whole page.

        Parameters
        ----------
        template : str
            Name of the template, which extends `base.html`.
        view : View
            What the template is given as `view`.
        title : str
            What the page is called, in the language of the page.
        opened : Opened, optional
            The visit that the page belongs to; the road then stands beside it.
        room : str
            Code of the room of the road that the page is or belongs to.
        up : tuple of str, optional
            Address and name of what lies above; the road of the visit unless given.
        next_ : Next, optional
            The one line at the foot.
        status : int
            HTTP status code.
        """
        shell = self.shell(title, opened=opened, room=room, up=up, next_=next_)
        return HTMLResponse(self.rendered(template, view=view, shell=shell), status)

    def fragment(
        self, template: str, view: View, *, status: int = 200, headers: dict[str, str] | None = None
    ) -> Response:
        """Answer with a piece of a page."""
        return HTMLResponse(self.rendered(template, view=view), status, headers)

    def rendered(self, template: str, **context: Any) -> str:
        """Return a template filled in, in the language of whoever asks."""
        found = templates().get_template(template)
        return found.render(_=self.voice.say, count=self.voice.count, **context)

    def go(self, path: str) -> Response:
        """Send the browser on to a page after something was written."""
        return RedirectResponse(path, 303)


def local_path(path: str, otherwise: str) -> str:
    """Return a path if it leads to a page of ours, else another: a form's word for where to go back is not trusted."""
    return path if path.startswith("/") and not path.startswith(("//", "/\\")) else otherwise


def room_name(code: str, voice: Voice) -> str:
    """Return what a room is called."""
    return voice.say(BY_CODE[code].name)


def run_address(visit: str, run: str) -> str:
    """Return where a run of a visit is; a run may be called anything."""
    return f"/visit/{visit}/run/{quote(run, safe='')}"
