"""The customer's page: behind an unguessable link, without session or script, and checkable by anyone."""

from __future__ import annotations

import json
from base64 import urlsafe_b64decode

import pytest
import rfc8785
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from service.ids import new_id
from tests.conftest import BIKE
from tests.handing_over import hand_over, set_up


@pytest.fixture
def handed(shop):
    """A record with a link, its path, and a customer who is nobody's."""
    customer = {"id": new_id(), "name": "Jo <b>Example</b>", "contact": "jo@mail.example"}
    shop.phone.put("/customers", {"customers": [customer]})
    shop.phone.put(f"/bikes/{shop.bike}", {**BIKE, "base_seq": 1, "customer_id": customer["id"]})
    set_up(shop)
    shop.record = hand_over(shop).json
    link = shop.phone.post(f"/records/{shop.record['id']}/links", {})
    assert link.status_code == 201
    shop.link, shop.customer = link.json, customer["id"]
    shop.path = link.json["url"].removeprefix("https://shop.example")
    return shop


def test_it_opens_without_a_session_and_without_script(app, handed):
    answer = app.test_client().get(handed.path)
    assert (answer.status_code, answer.mimetype) == (200, "text/html")
    page = answer.text
    assert "<script" not in page and "style=" not in page and "onclick" not in page
    assert "Grey all-road 54" in page and handed.record["number"] in page
    assert "The signature fits" in page
    assert "Upper pulley to largest cog" in page and "borderline" in page
    assert "Brakes, wheel fixings, bar and stem are checked before every ride." in page
    assert "−1 steps" in page and "−2 in the stand, +1 after it" in page
    assert "Jo &lt;b&gt;Example&lt;/b&gt;" in page
    assert "mail.example" not in page


def test_its_headers(app, handed):
    headers = app.test_client().get(handed.path).headers
    assert headers["Cache-Control"] == "no-store"
    assert "noindex" in headers["X-Robots-Tag"]
    assert headers["Referrer-Policy"] == "no-referrer"
    policy = headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy and "unsafe" not in policy and "script-src" not in policy


def test_anyone_can_check_the_signature(app, handed):
    """With nothing but RFC 8785 and Ed25519 (RFC 8032)."""
    signed = app.test_client().get(f"{handed.path}.json").json
    key = Ed25519PublicKey.from_public_bytes(urlsafe_b64decode(signed["public_key"]))
    key.verify(urlsafe_b64decode(signed["signature"]), rfc8785.dumps(signed["document"]))
    published = app.test_client().get(f"/keys/{signed['key_id']}").json
    assert published["public_key"] == signed["public_key"]
    assert app.test_client().get("/keys/another").status_code == 404
    assert "Jo" not in json.dumps(signed)


def test_a_record_that_was_tampered_with_says_so(app, handed, store):
    with store.writing() as db:
        text = db.execute("SELECT document FROM records").fetchone()[0]
        db.execute("UPDATE records SET document = ?", (text.replace('"value": 5.3', '"value": 5.2'),))
    assert "The signature does not fit" in app.test_client().get(handed.path).text
    assert handed.phone.get(f"/records/{handed.record['id']}").json["genuine"] is False


def test_the_secret_is_not_kept_and_the_key_is_private(handed, app):
    config = app.extensions["roadproof.config"]
    secret = handed.path.split("/")[-1]
    assert len(secret) >= 32
    assert secret.encode() not in config.db_path.read_bytes()
    assert config.key_path.stat().st_mode & 0o777 == 0o600


def test_unknown_withdrawn_and_expired_links_show_nothing(app, handed, clock):
    http = app.test_client()
    for path in ("/r/nothing", "/r/nothing.json", "/r/nothing/photos/" + "0" * 64):
        assert http.get(path).status_code == 404
    second = handed.phone.post(f"/records/{handed.record['id']}/links", {}).json
    links = f"/records/{handed.record['id']}/links"
    assert handed.phone.delete(f"{links}/{handed.link['id']}").status_code == 204
    assert handed.phone.delete(f"{links}/{handed.link['id']}").status_code == 404
    gone = http.get(handed.path)
    assert gone.status_code == 404
    assert gone.headers["Cache-Control"] == "no-store"
    other = second["url"].removeprefix("https://shop.example")
    assert http.get(other).status_code == 200
    clock.forward(days=731)
    assert http.get(other).status_code == 404


def test_the_new_links_qr_code_is_an_image_of_its_address(handed):
    assert handed.link["qr_svg"].startswith("<svg ")
    assert [one["id"] for one in handed.phone.get(f"/records/{handed.record['id']}").json["links"]] == [
        handed.link["id"]
    ]


def test_a_customer_can_be_exported_and_erased(app, handed):
    export = handed.phone.get(f"/customers/{handed.customer}").json
    assert export["customer"]["contact"] == "jo@mail.example"
    assert [bike["id"] for bike in export["bikes"]] == [handed.bike]
    assert [one["record_id"] for one in export["records"]] == [handed.record["id"]]
    assert handed.phone.delete(f"/customers/{handed.customer}").status_code == 204
    assert handed.phone.get(f"/customers/{handed.customer}").status_code == 404
    page = app.test_client().get(handed.path).text
    assert "Jo" not in page and "The signature fits" in page
    again = {"id": handed.customer, "name": "Back"}
    assert handed.phone.put("/customers", {"customers": [again]}).status_code == 409
    seq = handed.phone.get(f"/bikes/{handed.bike}").json["seq"]
    renamed = {**BIKE, "base_seq": seq, "customer_id": handed.customer, "label": "Renamed"}
    assert handed.phone.put(f"/bikes/{handed.bike}", renamed).status_code == 200
    assert handed.phone.put(f"/bikes/{new_id()}", {**renamed, "base_seq": None}).status_code == 409


def test_a_newer_record_and_late_entries_are_said(app, handed):
    handed.phone.sent(handed.phone.entry(handed.job, "remark", {"text": "creaks"}))
    assert "1 more entry was logged" in app.test_client().get(handed.path).text
    assert hand_over(handed).status_code == 200
    assert "A newer record of this job replaces this one" in app.test_client().get(handed.path).text


def test_another_shop_cannot_reach_it(app, store, handed):
    from tests.other_shop import other_owner

    stranger = other_owner(app, store, handed.phone.clock)
    assert stranger.get(f"/records/{handed.record['id']}").status_code == 404
    assert stranger.post(f"/records/{handed.record['id']}/links", {}).status_code == 404
    assert stranger.get(f"/jobs/{handed.job}/records").status_code == 404
    assert stranger.get(f"/customers/{handed.customer}").status_code == 404
    assert stranger.delete(f"/records/{handed.record['id']}/links/{handed.link['id']}").status_code == 404
    assert app.test_client().get(handed.path).status_code == 200
