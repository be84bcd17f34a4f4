"""The API's description as a page: made here, nothing is fetched elsewhere."""

from __future__ import annotations

from html import escape
from typing import Any, Final

from apiflask import APIFlask
from flask import Blueprint, Response, current_app

bp: Final = Blueprint("docs_page", __name__, url_prefix="/api")

STYLE: Final = """body{font:1rem/1.5 system-ui,sans-serif;max-width:70rem;margin:auto;padding:1rem;
color:#111;background:#fff}h2{border-bottom:3px solid #333}section{border-top:1px solid #999;
padding:.5rem 0}code{font-family:ui-monospace,monospace;overflow-wrap:anywhere}dt{font-weight:700}
pre{white-space:pre-wrap;overflow-wrap:anywhere;background:#eee;padding:.5rem}
@media (prefers-color-scheme:dark){body{color:#eee;background:#111}pre{background:#222}
a{color:#9cf}}"""


@bp.get("/docs.css")
def style() -> Response:
    """Return how the page looks; the page's policy allows no style inside it."""
    return Response(STYLE, mimetype="text/css")


@bp.get("/docs")
def page() -> Response:
    """Return every operation by its tag, with its fields and answers."""
    app = current_app
    assert isinstance(app, APIFlask)
    spec = app.spec
    assert isinstance(spec, dict)
    return Response(_page(spec), content_type="text/html; charset=utf-8")


def _page(spec: dict[str, Any]) -> str:
    info = spec["info"]
    parts = [
        "<!doctype html><html lang=en><meta charset=utf-8>",
        "<meta name=viewport content='width=device-width'>",
        f"<title>{escape(info['title'])} API</title><link rel=stylesheet href=/api/docs.css>",
        f"<main><h1>{escape(info['title'])} API, version {escape(info['version'])}</h1>",
        *(f"<p>{escape(text)}</p>" for text in info["description"].split("\n\n")),
        "<p><a href=/api/openapi.json>The OpenAPI document</a>, ",
        "<a href=/api/problems>kinds of problems</a></p>",
    ]
    for tag in spec["tags"]:
        parts.append(f"<h2>{escape(tag['name'])}</h2><p>{escape(tag['description'])}</p>")
        for path, operations in sorted(spec["paths"].items()):
            for method, operation in operations.items():
                if tag["name"] in operation.get("tags", []):
                    parts.append(_operation(spec, path, method, operation))
    return "".join([*parts, "</main></html>"])


def _operation(spec: dict[str, Any], path: str, method: str, operation: dict[str, Any]) -> str:
    title = f"<h3><code>{method.upper()} {escape(path)}</code></h3>"
    words = [operation.get("summary", ""), operation.get("description", "")]
    fields = [
        f"<dt><code>{escape(one['name'])}</code> ({escape(one['in'])})</dt>"
        f"<dd>{escape(one.get('description', ''))}</dd>"
        for one in operation.get("parameters", [])
    ]
    body = next(iter(operation.get("requestBody", {}).get("content", {}).items()), None)
    if body is not None:
        fields += [f"<dt>Body, {escape(body[0])}</dt>", _model(spec, body[1].get("schema", {}))]
    answers = [
        f"<dt>{escape(status)}</dt><dd>{escape(answer['description'])} {_names(answer)}</dd>"
        for status, answer in operation["responses"].items()
    ]
    told = "".join(f"<p>{escape(text)}</p>" for text in dict.fromkeys(words) if text)
    parts = "".join([*fields, *answers])
    return f"<section>{title}{told}<dl>{parts}</dl></section>"


def _names(answer: dict[str, Any]) -> str:
    schemas = (one.get("schema", {}) for one in answer.get("content", {}).values())
    names = [schema["$ref"].rsplit("/", 1)[-1] for schema in schemas if "$ref" in schema]
    return f"<code>{escape(', '.join(names))}</code>" if names else ""


def _model(spec: dict[str, Any], schema: dict[str, Any]) -> str:
    """Return the fields of a model: name, kind, what it says of itself."""
    if "$ref" in schema:
        schema = spec["components"]["schemas"][schema["$ref"].rsplit("/", 1)[-1]]
    needed = schema.get("required", [])
    lines = [
        f"<dt><code>{escape(name)}</code>{'' if name in needed else ' (may be left out)'}</dt>"
        f"<dd>{escape(_kind(field))}</dd>"
        for name, field in schema.get("properties", {}).items()
    ]
    return f"<dd>{escape(schema.get('description', ''))}<dl>{''.join(lines)}</dl></dd>"


def _kind(field: dict[str, Any]) -> str:
    """Return what a field takes, in a few words."""
    if "$ref" in field:
        return str(field["$ref"].rsplit("/", 1)[-1])
    if "anyOf" in field:
        return " or ".join(_kind(one) for one in field["anyOf"])
    if "enum" in field:
        return "one of " + ", ".join(map(str, field["enum"]))
    kind = str(field.get("type", "any"))
    if kind == "array":
        return f"list of {_kind(field.get('items', {}))}"
    limits = {"minimum": "from", "maximum": "to", "minLength": "at least", "maxLength": "at most"}
    told = [f"{word} {field[key]}" for key, word in limits.items() if key in field]
    return " ".join([kind, *told])
