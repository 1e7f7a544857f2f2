"""The pages: one module for each, which lists its routes."""

from starlette.routing import Route

from drawthrough.web.pages import (
    carried,
    handover,
    home,
    logs,
    photos,
    preferences,
    proof,
    readings,
    rooms,
    runs,
    system,
    visit,
    work,
)

ROUTES: list[Route] = [
    *home.ROUTES, *preferences.ROUTES, *carried.ROUTES, *photos.ROUTES, *logs.ROUTES, *rooms.ROUTES, *runs.ROUTES,
    *readings.ROUTES, *system.ROUTES, *work.ROUTES, *proof.ROUTES, *handover.ROUTES, *visit.ROUTES,
]  # fmt: skip
