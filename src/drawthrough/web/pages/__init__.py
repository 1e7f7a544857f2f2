"""The pages: one module for each, which lists its routes."""

from starlette.routing import Route

from drawthrough.web.pages import carried, home, logs, photos, preferences, visit

ROUTES: list[Route] = [
    *home.ROUTES, *preferences.ROUTES, *carried.ROUTES, *photos.ROUTES, *logs.ROUTES, *visit.ROUTES,
]  # fmt: skip
