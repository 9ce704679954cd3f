"""Every operation of the document against the service, with the owner's token: all default checks, nothing excluded.

100 examples an operation; each must be answered 2xx at least once. Ids that exist are put into some of
the cases, since random ones would only ever be 404.
"""

from __future__ import annotations

import hashlib
import random
from collections import Counter
from types import SimpleNamespace
from urllib.parse import parse_qsl, urlsplit

import pytest
import schemathesis
from hypothesis import HealthCheck, settings
from jsonschema import Draft202012Validator
from schemathesis.config import SchemathesisConfig
from schemathesis.specs.openapi.checks import negative_data_rejection

from service import Config, create_app
from service.ids import new_id
from service.openapi import described_app, document
from service.pairing import owner_code
from service.store import migrate
from tests.conftest import BIKE, OPENED, Clock, Phone
from tests.handing_over import hand_over, set_up

EXAMPLES = 100
PNG = b"\x89PNG\r\n\x1a\n" + b"a picture"
# 426 is our answer to a contract older than the oldest (RFC 9110, 15.5.22); the tester's own list does not know it.
REFUSALS = ["400", "401", "403", "404", "405", "406", "409", "415", "422", "426", "428", "429"]
answered: dict[str, Counter] = {}
config = SchemathesisConfig.from_dict({"checks": {"negative_data_rejection": {"expected-statuses": REFUSALS}}})


class Served:
    """The document alone tells which tests there are; the service that answers them is put here by the fixture."""

    app = described_app()

    def __call__(self, environ, start_response):
        return self.app(environ, start_response)


served = Served()
DOCUMENT = document()
contract = schemathesis.openapi.from_wsgi("/openapi.json", served, config=config)


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    """A service with one of everything, whose wrong pairing codes are not counted."""
    path = tmp_path_factory.mktemp("contract") / "book.db"
    migrate(path)
    clock = Clock()
    app = create_app(Config(path, clock=clock, pair_tries=10**9, public_url="https://shop.example"))
    store = app.extensions["roadproof.store"]
    phone = Phone(app, clock, owner_code(store, clock()))
    made = SimpleNamespace(app=app, store=store, phone=phone, clock=clock, bike=new_id(), job=new_id())
    phone.put(f"/bikes/{made.bike}", BIKE)
    job = {"base_seq": None, "bike_id": made.bike, "kind": "build", "opened_at": OPENED}
    phone.put(f"/jobs/{made.job}", job)
    set_up(made)
    made.record = hand_over(made).json["id"]
    served.app = app
    yield made
    store.close()


class KnownThings:
    """Puts what exists in the book into a case, half of the time, so that it can succeed."""

    chance = random.Random(5)

    def __init__(self, book: SimpleNamespace) -> None:
        self.book = book

    def put_into(self, case) -> None:
        parts = [case.meta.generation, *case.meta.components.values()] if case.meta else []
        if not parts or any(part.mode.is_negative for part in parts) or self.chance.random() < 0.5:
            return
        for name, value in self.ids().items():
            if name in (case.path_parameters or {}):
                case.path_parameters[name] = value()
        last = case.path.rsplit("/", 1)[-1].strip("{}").replace("-", "_")
        own = getattr(self, f"_{case.method.lower()}_{last}", None)
        if own:
            own(case)

    def ids(self) -> dict:
        book = self.book
        return {
            "bike_id": lambda: book.bike,
            "job_id": lambda: book.job,
            "record_id": lambda: book.record,
            "person_id": lambda: book.phone.person_id,
            "link_id": lambda: book.phone.post(f"/records/{book.record}/links").json["id"],
            "customer_id": self.a_customer,
            "device_id": self.another_device,
        }

    def a_customer(self) -> str:
        customer = {"id": new_id(), "name": "Somebody"}
        self.book.phone.put("/customers", {"customers": [customer]})
        return customer["id"]

    def another_device(self) -> str:
        return Phone(self.book.app, self.book.clock, self.code()).device_id

    def code(self) -> str:
        return self.book.phone.post(f"/people/{self.book.phone.person_id}/codes").json["code"]

    def _post_pair(self, case) -> None:
        case.body["code"] = self.code()

    def _put_bike_id(self, case) -> None:
        case.path_parameters["bike_id"] = new_id()
        case.body["base_seq"] = None
        case.body.pop("customer_id", None)

    def _put_job_id(self, case) -> None:
        case.path_parameters["job_id"] = new_id()
        for name in ("comeback_of", "missing_parts", "complaint", "since_last"):
            case.body.pop(name, None)
        case.body |= {"base_seq": None, "bike_id": self.book.bike}

    def _post_entries(self, case) -> None:
        case.body["device_id"] = self.book.phone.device_id

    def _post_handover(self, case) -> None:
        phone = self.book.phone
        phone.sent(phone.entry(self.book.job, "remark", {"text": "once more"}))
        what = [{"what": one} for one in ("chain_links", "pedal")]
        missing = phone.post(f"/jobs/{self.book.job}/handover", self._asked([])).json.get("missing", [])
        case.body = self._asked(what + [{"what": one["what"]} for one in missing])

    def _asked(self, accepted: list) -> dict:
        return {"id": new_id(), "seen_seq": 2**40, "by": self.book.phone.person_id, "accepted": accepted}

    def _put_first_guess(self, case) -> None:
        job_id = case.path_parameters["job_id"] = new_id()
        body = {"base_seq": None, "bike_id": self.book.bike, "kind": "comeback", "opened_at": OPENED}
        self.book.phone.put(f"/jobs/{job_id}", {**body, "comeback_of": self.book.job})
        case.body["cause"] = "none_of_these"

    def _put_bands(self, case) -> None:
        case.body = {"bands": [{"quantity": "pad_thickness", "lower": self.chance.uniform(1, 2)}]}

    def _put_gauges(self, case) -> None:
        case.body = {"gauges": [{"id": new_id(), "name": "Feeler", "unit": "mm"}]}

    def _put_people(self, case) -> None:
        case.body["people"] = [{"id": new_id(), "name": "Helper", "role": "mechanic"}]

    def _put_customers(self, case) -> None:
        case.body["customers"] = [{"id": new_id(), "name": "Somebody"}]

    def _get_trend(self, case) -> None:
        if "workshop" in case.path:
            case.query["quantity"] = "guide_pulley_gap"

    def _post_gauge_study(self, case) -> None:
        case.body["quantity"] = "guide_pulley_gap"

    def _put_sha256(self, case) -> None:
        # A text, since the tester takes bytes that it has not made itself for a fault.
        case.media_type, case.body = "image/webp", f"RIFFsizeWEBP{self.chance.random()}"
        case.path_parameters["sha256"] = hashlib.sha256(case.body.encode()).hexdigest()

    def _get_sha256(self, case) -> None:
        sha256 = hashlib.sha256(PNG).hexdigest()
        self.book.phone.call("PUT", f"/photos/{sha256}", data=PNG, content_type="image/png")
        case.path_parameters["sha256"] = sha256


@contract.parametrize()
@settings(max_examples=EXAMPLES, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
def test_every_operation_keeps_the_contract(case, book):
    KnownThings(book).put_into(case)
    # In process nothing undoes a compression, as a client on a real connection does.
    headers = {**book.phone.headers, "Accept-Encoding": "identity"}
    response = case.call(headers=headers)
    answered.setdefault(f"{case.method.upper()} {case.path}", Counter())[response.status_code] += 1
    # What is sent is judged, not what was meant: a query that lost its fault on the way has to be answered well.
    meant_only = [negative_data_rejection] if query_keeps_the_contract(case, response.request.url) else []
    case.validate_response(response, headers=headers, excluded_checks=meant_only)


def query_keeps_the_contract(case, url: str) -> bool:
    """Whether the query is the only fault meant, and as sent has none: the tester drops an additional key without a
    value, and our token takes the place of the one it left out."""
    parts = case.meta.components.items() if case.meta else ()
    faults = {part.value for part, info in parts if info.mode.is_negative}
    if not faults or faults - {"query", "header"}:
        return False
    described = DOCUMENT["paths"][case.path][case.method.lower()].get("parameters", [])
    asked = [one for one in described if one.get("in") == "query"]  # the others may be references
    known = {one["name"]: one["schema"] for one in asked}
    sent = parse_qsl(urlsplit(url).query, keep_blank_values=True)
    required = {one["name"] for one in asked if one.get("required")}
    names = [name for name, _ in sent]
    if len(names) != len(set(names)) or not required <= set(names) <= set(known):
        return False
    return all(Draft202012Validator(known[name]).is_valid(_read(text, known[name])) for name, text in sent)


def _read(text: str, schema: dict):
    """A value of a query as its schema reads it."""
    return int(text) if schema.get("type") == "integer" and text.isdecimal() and text.isascii() else text


def test_every_operation_was_answered_well_at_least_once():
    offered = {op.ok().label for op in contract.get_all_operations()}
    well = {label for label, counts in answered.items() if any(200 <= status < 300 for status in counts)}
    assert offered - well == set()
