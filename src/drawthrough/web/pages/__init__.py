"""The pages: one module for each, which lists its routes."""

from starlette.routing import Route

from drawthrough.web.pages import carried, home, logs, photos, preferences, readings, rooms, runs, system, visit, work

ROUTES: list[Route] = [
    *home.ROUTES, *preferences.ROUTES, *carried.ROUTES, *photos.ROUTES, *logs.ROUTES, *rooms.ROUTES, *runs.ROUTES,
    *readings.ROUTES, *system.ROUTES, *work.ROUTES, *visit.ROUTES,
]  # fmt: skip
