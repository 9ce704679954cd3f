"""Photos: the bytes are what their address says, and reach the record by the entry that names them."""

from __future__ import annotations

import hashlib

import pytest

from tests.handing_over import hand_over, set_up

JPEG = b"\xff\xd8\xff\xe0" + b"a picture" * 20
HASH = hashlib.sha256(JPEG).hexdigest()


def put(phone, data: bytes = JPEG, sha256: str = HASH, content_type: str = "image/jpeg"):
    return phone.call("PUT", f"/photos/{sha256}", data=data, content_type=content_type)


def test_a_photo_comes_back_as_it_was_sent(shop):
    assert put(shop.phone).json == {"sha256": HASH, "size": len(JPEG)}
    assert put(shop.phone).status_code == 200
    answer = shop.phone.get(f"/photos/{HASH}")
    assert (answer.data, answer.mimetype) == (JPEG, "image/jpeg")
    assert "immutable" in answer.headers["Cache-Control"]


@pytest.mark.parametrize(
    ("change", "status"),
    [
        ({"data": JPEG + b"x"}, 409),
        ({"sha256": "0" * 64}, 409),
        ({"content_type": "image/png"}, 422),
        ({"content_type": "image/gif"}, 415),
        ({"content_type": "application/json"}, 415),
        ({"data": b""}, 409),
        ({"sha256": "abc"}, 404),
        ({"data": b"\xff\xd8\xff" + b"x" * (4 * 1024 * 1024)}, 413),
    ],
)
def test_what_is_not_that_photo_is_refused(shop, change, status):
    answer = put(shop.phone, **change)
    assert answer.status_code == status
    assert answer.content_type == "application/problem+json"


def test_an_entry_may_name_a_photo_that_has_not_come_yet_and_the_record_shows_it(app, shop):
    set_up(shop)
    remark = shop.phone.entry(shop.job, "remark", {"text": "scratch"}, photos=[HASH])
    assert shop.phone.sent(remark)[0]["status"] == "stored"
    record = hand_over(shop).json
    assert [photo["sha256"] for photo in record["document"]["photos"]] == [HASH]
    url = shop.phone.post(f"/records/{record['id']}/links", {}).json["url"].removeprefix("https://shop.example")
    http = app.test_client()
    assert f"/photos/{HASH}" in http.get(url).text
    assert http.get(f"{url}/photos/{HASH}").status_code == 404
    put(shop.phone)
    assert http.get(f"{url}/photos/{HASH}").data == JPEG
    other = hashlib.sha256(JPEG + b"2").hexdigest()
    put(shop.phone, JPEG + b"2", other)
    assert http.get(f"{url}/photos/{other}").status_code == 404
