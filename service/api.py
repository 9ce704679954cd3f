"""flask-smorest, made to keep our contract: problem+json, strict JSON, unknown query keys refused, Allow on 405.

The overrides follow flask-smorest 0.47; look here before moving to another minor version.
"""

from __future__ import annotations

import http
import json
from functools import wraps
from typing import Any

from flask import Response, current_app, request
from flask_smorest import Api, Blueprint
from flask_smorest.exceptions import NotModified
from flask_smorest.utils import prepare_response
from marshmallow import RAISE
from webargs.flaskparser import FlaskParser
from werkzeug.routing import BaseConverter

from schemas import document
from schemas.fields import SHA256_PATTERN, UUID_PATTERN
from schemas.problem import ProblemSchema
from service import auth
from service.errors import Problem, as_response, fault, from_http

PREFIX = "/api/v1"


def _no_constant(name: str) -> Any:
    raise ValueError(f"{name} is not JSON")


def strict_json(data: bytes) -> Any:
    """RFC 8259 and no more: UTF-8, no NaN, no infinity. Raises Problem 400."""
    try:
        return json.loads(data.decode("utf-8"), parse_constant=_no_constant)
    except (ValueError, RecursionError) as error:
        raise Problem(400, f"The body is not JSON: {error}.") from error


def as_answer(body: dict[str, Any]) -> Response:
    """A body that is sent as it is. For long lists, which a schema would only walk through once more."""
    return current_app.json.response(body)


def refuse_old_contract(oldest: int):
    """Answer 426 before the schema is asked, whose lowest version is the oldest one still taken."""

    def decorate(view):
        @wraps(view)
        def checked(*args, **kwargs):
            body = strict_json(request.get_data(cache=True)) if request.mimetype == "application/json" else None
            sent = body.get("contract") if isinstance(body, dict) else None
            if isinstance(sent, int) and not isinstance(sent, bool) and sent < oldest:
                detail = f"This phone app speaks contract {sent}; the service takes {oldest} and newer. Update the app."
                # Without the Upgrade field of RFC 9110: it is the server's own, which PEP 3333 denies an application.
                raise Problem(426, detail, errors=[fault("/contract", detail)])
            return view(*args, **kwargs)

        return checked

    return decorate


class StrictParser(FlaskParser):
    DEFAULT_UNKNOWN_BY_LOCATION = {**FlaskParser.DEFAULT_UNKNOWN_BY_LOCATION, "query": RAISE}  # noqa: RUF012

    def _raw_load_json(self, req):
        if req.mimetype != "application/json":
            raise Problem(415, "Send the body as application/json.")
        return strict_json(req.get_data(cache=True))

    def load_querystring(self, req, schema):
        twice = [key for key, values in req.args.lists() if len(values) > 1]
        if twice:
            raise Problem(422, f"The query names {', '.join(sorted(twice))} more than once.")
        return super().load_querystring(req, schema)


class Room(Blueprint):
    """A blueprint whose every route needs a paired device, unless it is made with open=True."""

    ARGUMENTS_PARSER = StrictParser()

    def __init__(self, name: str, *, open: bool = False, description: str = "") -> None:
        super().__init__(name, f"service.routes.{name}", url_prefix=PREFIX, description=description)
        self.open = open
        if not open:
            self.before_request(auth.require_device)
        self._prepare_doc_cbks.append(self._prepare_security_doc)

    def _prepare_security_doc(self, doc, doc_info, **kwargs):
        if not self.open:
            doc["security"] = [{"device": []}]
            doc.setdefault("responses", {})[401] = http.HTTPStatus(401).name
        return doc

    @staticmethod
    def _generate_etag(etag_data, extra_data=None):
        """A version that was worked out already is the ETag as it stands."""
        return etag_data if isinstance(etag_data, str) else Blueprint._generate_etag(etag_data, extra_data)

    def _check_not_modified(self, etag):
        """A 304 repeats the ETag (RFC 9110, section 15.4.5)."""
        if request.method in self.METHODS_CHECKING_NOT_MODIFIED and etag in request.if_none_match:
            unchanged = NotModified()
            unchanged.etag = etag
            raise unchanged


class RoadproofApi(Api):
    ERROR_SCHEMA = ProblemSchema

    def _register_responses(self):
        """The same default answers as flask-smorest's, documented as application/problem+json."""
        for status in http.HTTPStatus:
            response: dict[str, Any] = {"description": status.phrase}
            if not (100 <= status < 200) and status not in (204, 304):
                response["schema"] = self.ERROR_SCHEMA
            prepare_response(response, self.spec, "application/problem+json")
            self.spec.components.response(status.name, response, lazy=True)
        response = {"description": "A problem (RFC 9457)", "schema": self.ERROR_SCHEMA}
        prepare_response(response, self.spec, "application/problem+json")
        self.spec.components.response("DEFAULT_ERROR", response, lazy=True)

    def handle_http_exception(self, error):
        if isinstance(error, NotModified):
            return "", 304, {"ETag": f'"{error.etag}"'}
        return as_response(from_http(error))


class _Patterned(BaseConverter):
    """A path part of a fixed form; anything else is 404."""


class UuidPart(_Patterned):
    regex = UUID_PATTERN.strip("^$")


class Sha256Part(_Patterned):
    regex = SHA256_PATTERN.strip("^$")


class NamePart(_Patterned):
    regex = "[A-Za-z0-9_-]{1,80}"


def _pattern_schema(converter: BaseConverter) -> dict[str, Any]:
    schema = {"type": "string", "pattern": f"^{converter.regex}$"}
    return schema | {"format": "uuid"} if isinstance(converter, UuidPart) else schema


def new_api(app) -> RoadproofApi:
    """The API of an app, with its path converters and its way of signing in."""
    app.config.update(
        API_TITLE="Roadproof",
        API_VERSION="1",
        OPENAPI_VERSION="3.1.0",
        OPENAPI_URL_PREFIX="/",
        OPENAPI_JSON_PATH="openapi.json",
    )
    app.url_map.converters.update(id=UuidPart, sha256=Sha256Part, name=NamePart)
    api = RoadproofApi(app)
    for part in (UuidPart, Sha256Part, NamePart):
        api.register_converter(part, _pattern_schema)
    api.spec.components.security_scheme(
        "device", {"type": "http", "scheme": "bearer", "description": "The token that pairing gave this device"}
    )
    document.describe(api.spec, api.ma_plugin.converter)
    return api
