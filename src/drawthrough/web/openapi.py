"""The OpenAPI 3.1 document of the JSON interface, drawn from its endpoints and from the structures that they carry."""

from functools import cache
from typing import Any

import msgspec

from drawthrough import __version__
from drawthrough.web.answers import PROBLEM, Problem
from drawthrough.web.api import ENDPOINTS, LINES, Answer, Endpoint

_REF = "#/components/schemas/{name}"


@cache
def openapi() -> dict[str, Any]:
    """Return the document."""
    carried = [answer for one in ENDPOINTS for answer in (*one.answers.values(), *([one.takes] if one.takes else []))]
    kinds = [Problem, *(answer.holds for answer in carried if answer.holds is not None)]
    _, components = msgspec.json.schema_components(kinds, ref_template=_REF)
    paths: dict[str, dict[str, Any]] = {}
    for one in ENDPOINTS:
        paths.setdefault(one.path, {})[one.method.lower()] = _operation(one)
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Drawthrough",
            "version": __version__,
            "summary": "Visits to air handlers: facts in, judgement out. Figures are SI.",
            "license": {"name": "Apache-2.0", "identifier": "Apache-2.0"},
        },
        "servers": [{"url": "/"}],
        "paths": paths,
        "components": {"schemas": components},
    }


def _operation(one: Endpoint) -> dict[str, Any]:
    made: dict[str, Any] = {
        "operationId": one.name,
        "summary": one.meaning,
        "responses": {str(status): _answer(answer) for status, answer in one.answers.items()},
    }
    if one.parameters:
        made["parameters"] = [
            {"name": name, "in": where, "required": where == "path", "schema": {"type": kind}, "description": meaning}
            for name, where, kind, meaning in one.parameters
        ]
    if one.takes is not None:
        made["requestBody"] = {"required": True, "content": _content(one.takes)}
    return made


def _answer(answer: Answer) -> dict[str, Any]:
    content = _content(answer)
    return {"description": answer.meaning, **({"content": content} if content else {})}


def _content(answer: Answer) -> dict[str, Any]:
    if answer.media == "problem":
        (schema,), _ = msgspec.json.schema_components([Problem], ref_template=_REF)
        return {PROBLEM: {"schema": schema}}
    if not answer.media:
        return {}
    if answer.holds is None:
        return {answer.media: {}}
    (schema,), _ = msgspec.json.schema_components([answer.holds], ref_template=_REF)
    if answer.media == LINES:
        schema = {"type": "string", "contentMediaType": "application/json", "contentSchema": schema}
    return {answer.media: {"schema": schema}}
