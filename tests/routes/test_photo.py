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
    seq = shop.phone.get("/changes?limit=1000").json["next"]
    assert put(shop.phone).json == {"sha256": HASH, "size": len(JPEG), "seq": seq}
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
    assert "this photo has not reached the shop" in http.get(url).text
    assert http.get(f"{url}/photos/{HASH}").status_code == 404
    put(shop.phone)
    assert f"{url}/photos/{HASH}" in http.get(url).text
    assert http.get(f"{url}/photos/{HASH}").data == JPEG
    other = hashlib.sha256(JPEG + b"2").hexdigest()
    put(shop.phone, JPEG + b"2", other)
    assert http.get(f"{url}/photos/{other}").status_code == 404


def test_a_photo_sent_again_later_is_held_by_a_later_backup_only(shop):
    """A backup holds a photo for certain where it holds something that was numbered after it."""
    first = put(shop.phone).json["seq"]
    shop.phone.sent(shop.phone.entry(shop.job, "remark", {"text": "scratch"}, photos=[HASH]))
    assert put(shop.phone).json["seq"] == first + 1


def test_the_record_says_what_a_photo_shows_but_not_the_shops_own_remarks(app, shop):
    set_up(shop)
    names = [hashlib.sha256(JPEG + bytes([n])).hexdigest() for n in range(3)]
    for n, name in enumerate(names):
        put(shop.phone, JPEG + bytes([n]), name)
    shop.phone.sent(
        shop.phone.reading(shop.job, "rotor_runout", 0.09, photos=[names[0]]),
        shop.phone.entry(shop.job, "check", {"check": "pedals_tight", "outcome": "passed"}, photos=[names[1]]),
        shop.phone.entry(shop.job, "remark", {"text": "a dear customer"}, photos=[names[2]]),
    )
    record = hand_over(shop).json
    about = {one["sha256"]: one["of"] for one in record["document"]["photos"]}
    assert about[names[0]] and about[names[1]] and about[names[2]] is None
    url = shop.phone.post(f"/records/{record['id']}/links", {}).json["url"].removeprefix("https://shop.example")
    page = app.test_client().get(url).text
    assert page.count("<figure>") == 3
    assert f'alt="Photo: {about[names[0]]}"' in page
    assert 'alt="Photo: Taken during the job"' in page
    assert "a dear customer" not in page
