"""Photos from the camera, paired as found and as left."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.report.voice import N_
from drawthrough.visit.clock import wall
from drawthrough.visit.facts import PhotoTaken
from drawthrough.web import api
from drawthrough.web.desk import Desk
from drawthrough.web.ledger import Opened, draft
from drawthrough.web.photo import media_of
from drawthrough.web.views.photos import PhotoPair, PhotosView, PhotoView
from drawthrough.web.views.shell import Choice

WHENS = (N_("as found"), N_("while working"), N_("as left"))
# What is worth a photo before it moves (common practice, no source).
SUBJECTS = (
    N_("nameplate"), N_("motor label"), N_("wiring diagram"), N_("leads at the board"), N_("run capacitor"),
    N_("wheel"), N_("wheel's direction and set screw"), N_("balance weights"), N_("coil, entering face"),
    N_("coil, leaving face"), N_("cabinet"), N_("filter and its frame"), N_("drain pan and trap"),
    N_("hole for the static probe"),
)  # fmt: skip
LARGEST = 8 * 1024 * 1024
_NOT_A_PHOTO = N_("That file is not a photo that can be shown (JPEG, PNG or WebP). Nothing was kept.")
_TOO_LARGE = N_("That photo has more than 8 MB. Nothing was kept; take it again with a smaller picture size.")
_NO_FILE = N_("No photo was chosen.")


async def photos(request: Request) -> Response:
    """Show the photos of a visit, and take another."""
    desk = Desk(request)
    return _page(desk, desk.opened(), {name: request.query_params.get(name, "")[:120] for name in ("when", "of")})


def _page(desk: Desk, opened: Opened, fields: dict[str, str], fault: str = "", status: int = 200) -> Response:
    say = desk.voice.say
    when = fields.get("when") or (WHENS[2] if opened.folded.work else WHENS[0])
    view = PhotosView(
        pairs=_pairs(desk, opened),
        whens=tuple(Choice(code=code, name=say(code), chosen=code == when) for code in WHENS),
        subjects=tuple(map(say, SUBJECTS)),
        of=fields.get("of", ""),
        once=desk.ledger.once(),
        fault=say(fault) if fault else "",
    )
    room = "as left" if when == WHENS[2] else "work" if when == WHENS[1] else "as found"
    return desk.page("photos.html", view, say(N_("Photos")), opened=opened, room=room, status=status)


def _pairs(desk: Desk, opened: Opened) -> tuple[PhotoPair, ...]:
    by_subject: dict[str, list[PhotoTaken]] = {}
    for fact in opened.folded.photo:
        by_subject.setdefault(fact.of, []).append(fact)

    def some(taken: list[PhotoTaken], *whens: str) -> tuple[PhotoView, ...]:
        return tuple(_photo(desk, fact) for fact in taken if fact.when in whens)

    return tuple(
        PhotoPair(
            of=of,
            found=some(taken, WHENS[0]),
            between=tuple(_photo(desk, fact) for fact in taken if fact.when not in (WHENS[0], WHENS[2])),
            left=some(taken, WHENS[2]),
        )
        for of, taken in by_subject.items()
    )


def _photo(desk: Desk, fact: PhotoTaken) -> PhotoView:
    return PhotoView(
        href=f"/photo/{fact.digest}",
        name=f"{fact.of}, {desk.voice.say(fact.when)}",
        time=desk.time_of_day(wall(fact.moment)),
        id=fact.id,
        once=desk.ledger.once(),
    )


async def take(request: Request) -> Response:
    """Keep a photo that was taken."""
    desk = Desk(request)
    opened = desk.opened()
    sent = await desk.sent()
    file = sent.files.get("photo")
    if file is None or not file.content:
        return _page(desk, opened, sent.fields, _NO_FILE, 422)
    if len(file.content) > LARGEST:
        return _page(desk, opened, sent.fields, _TOO_LARGE, 413)
    media = media_of(file.content)
    if media is None:
        return _page(desk, opened, sent.fields, _NOT_A_PHOTO, 415)
    when = sent.fields.get("when", "")
    digest = desk.ledger.store.put_photo(file.content, media)  # the photo first: a fact never names what is not here
    taken = draft(
        PhotoTaken,
        digest=digest,
        media=media,
        size=len(file.content),
        of=sent.fields.get("of", "")[:120] or desk.voice.say(N_("not named")),
        when=when if when in WHENS else WHENS[0],
    )
    desk.ledger.write(opened.id, [taken], sent.fields.get("once", ""))
    return desk.go(f"/visit/{opened.id}/photos?when={when.replace(' ', '+')}")


ROUTES = [
    Route("/photo/{digest}", api.photo),
    Route("/visit/{visit}/photos", photos),
    Route("/visit/{visit}/photos", take, methods=["POST"]),
]
