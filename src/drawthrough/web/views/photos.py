"""What the page of photos is given."""

from typing import Annotated

from drawthrough.web.views import View
from drawthrough.web.views.shell import Choice


class PhotoView(View, frozen=True, kw_only=True):
    """One photo."""

    href: Annotated[str, "where its content is"]
    name: Annotated[str, "what it shows and when, for those who do not see it"]
    time: Annotated[str, "time of day at which it was taken"]
    id: Annotated[str, "id of the fact that it was taken"]
    once: Annotated[str, "id of the withdrawal that the form beneath would write"]


class PhotoPair(View, frozen=True, kw_only=True):
    """What one thing looked like as found and as left."""

    of: Annotated[str, "what is shown"]
    found: Annotated[tuple[PhotoView, ...], "photos as found"]
    between: Annotated[tuple[PhotoView, ...], "photos while the work went on"]
    left: Annotated[tuple[PhotoView, ...], "photos as left"]


class PhotosView(View, frozen=True, kw_only=True):
    """The photos of a visit."""

    pairs: Annotated[tuple[PhotoPair, ...], "photos by what they show"]
    whens: Annotated[tuple[Choice, ...], "when the next one is taken"]
    subjects: Annotated[tuple[str, ...], "what photos usually show"]
    of: Annotated[str, "what the form says the next one shows"]
    once: Annotated[str, "id of the fact that the form would write"]
    fault: Annotated[str, "what was wrong with what was sent, or empty"] = ""
