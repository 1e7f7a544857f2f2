"""The JSON interface: a valid OpenAPI document, answers as the document says, and errors of one shape."""

import hashlib
import json

import jsonschema
import msgspec
import pytest

from drawthrough.judge.engine import judge
from drawthrough.visit.codec import decode_lines
from drawthrough.visit.sheet import load
from drawthrough.web.api import ENDPOINTS
from drawthrough.web.openapi import openapi

PNG = b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + bytes(20)
PROBLEM = "application/problem+json"


@pytest.mark.independent
def test_the_document_is_valid():
    """OpenAPI Specification 3.1.0, by the Python OpenAPI project's validator."""
    validator = pytest.importorskip("openapi_spec_validator")
    validator.validate(json.loads(msgspec.json.encode(openapi())))


@pytest.mark.property
def test_every_endpoint_is_in_the_document(client):
    served = client.get("/api/openapi.json").json()
    assert {(path, method.upper()) for path, one in served["paths"].items() for method in one} == {
        (one.path, one.method) for one in ENDPOINTS
    }


@pytest.mark.independent
def test_answers_are_as_the_document_says(demo):
    """JSON Schema 2020-12, by jsonschema."""
    document = json.loads(msgspec.json.encode(openapi()))
    paths = [("/api/visits", "/api/visits")]
    paths += [(f"/api/visits/{demo.visit}{end}", f"/api/visits/{{visit}}{end}") for end in ("", "/judgement")]
    for address, template in paths:
        answer = demo.get(address)
        assert answer.status_code == 200
        schema = document["paths"][template]["get"]["responses"]["200"]["content"]["application/json"]["schema"]
        jsonschema.validate(answer.json(), {**schema, "components": document["components"]})


@pytest.mark.property
def test_the_judgement_is_that_of_the_sheet(demo):
    expected = json.loads(msgspec.json.encode(judge(load("examples/dirty-wheel-psc.toml"))))
    assert demo.get(f"/api/visits/{demo.visit}/judgement").json() == expected


@pytest.mark.property
def test_facts_go_from_one_store_to_another_once(demo, client):
    lines = demo.get("/api/facts").text
    first = client.post("/api/facts", content=lines)
    again = client.post("/api/facts", content=lines)
    assert (first.json(), again.json()) == ({"new": len(decode_lines(lines))}, {"new": 0})
    path = f"/api/visits/{demo.visit}/judgement"
    assert client.get(path).json() == demo.get(path).json()


@pytest.mark.property
def test_facts_come_in_pages(demo):
    seen, cursor = [], "0"
    while True:
        answer = demo.get(f"/api/facts?since={cursor}&limit=50")
        if not answer.text:
            break
        seen += decode_lines(answer.text)
        cursor = answer.headers["drawthrough-cursor"]
    assert seen == decode_lines(demo.get("/api/facts").text)


@pytest.mark.property
def test_photos_are_kept_under_their_own_digest(client):
    digest = hashlib.sha256(PNG).hexdigest()
    assert client.put(f"/api/photos/{digest}", content=PNG).status_code == 204
    kept = client.get(f"/api/photos/{digest}")
    assert (kept.content, kept.headers["content-type"]) == (PNG, "image/png")
    assert kept.headers["x-content-type-options"] == "nosniff"


FAULTS = [
    ("GET", "/api/visits/nobody", b"", 404, "not here"),
    ("GET", "/api/visits/nobody/judgement", b"", 404, "not here"),
    ("GET", "/api/nothing", b"", 404, "not here"),
    ("DELETE", "/api/visits", b"", 405, "not that way"),
    ("GET", "/api/facts?since=x", b"", 422, "not a number"),
    ("GET", "/api/facts?since=-1", b"", 422, "not a number"),
    ("POST", "/api/facts", b"{", 422, "not a fact"),
    ("POST", "/api/facts", b"\xff\xfe", 415, "not text"),
    ("POST", "/api/facts", b'{"version": 99, "fact": "visit opened"}', 422, "not a fact"),
    ("PUT", f"/api/photos/{'0' * 64}", PNG, 422, "another digest"),
    ("PUT", f"/api/photos/{hashlib.sha256(b'text').hexdigest()}", b"text", 415, "not a photo"),
    ("POST", "/api/facts", b"x" * (12 * 1024 * 1024 + 1), 413, "too large"),
]


@pytest.mark.property
@pytest.mark.parametrize(
    ("method", "path", "content", "status", "title"), FAULTS, ids=[f"{one[0]} {one[1][:30]} {one[3]}" for one in FAULTS]
)
def test_errors_have_one_shape(client, method, path, content, status, title):
    """RFC 9457, section 3: members type, title, status, detail."""
    answer = client.request(method, path, content=content)
    told = answer.json()
    assert (answer.status_code, answer.headers["content-type"], told["status"]) == (status, PROBLEM, status)
    assert (told["title"], told["type"]) == (title, "about:blank")
    assert told["detail"]
    assert client.get("/api/visits").json() == []


@pytest.mark.property
def test_a_line_that_is_no_fact_keeps_all_others_out(client, demo):
    lines = demo.get("/api/facts").text
    answer = client.post("/api/facts", content=lines + "{}\n")
    assert answer.status_code == 422
    assert [fault["field"] for fault in answer.json()["faults"]] == [f"line {lines.count(chr(10)) + 1}"]
    assert client.get("/api/visits").json() == []
