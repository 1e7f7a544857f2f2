"""The pages: one module for each, which lists its routes."""

from starlette.routing import Route

from drawthrough.web.pages import (
    carried,
    guides,
    handover,
    home,
    leads,
    logs,
    photos,
    plan,
    preferences,
    proof,
    readings,
    rooms,
    runs,
    steps,
    system,
    visit,
    work,
)

ROUTES: list[Route] = [
    *home.ROUTES, *preferences.ROUTES, *carried.ROUTES, *photos.ROUTES, *plan.ROUTES, *logs.ROUTES,
    *rooms.ROUTES, *runs.ROUTES, *readings.ROUTES, *system.ROUTES, *work.ROUTES, *steps.ROUTES,
    *guides.ROUTES, *leads.ROUTES, *proof.ROUTES, *handover.ROUTES, *visit.ROUTES,
]  # fmt: skip
