"""Pairing, and who may do what."""

from __future__ import annotations

from service.ids import new_id
from service.pairing import owner_code


def pair(app, code: str, device_id: str | None = None):
    body = {"code": code, "device_id": device_id or new_id(), "device_name": "Phone"}
    return app.test_client().post("/api/v1/pair", json=body)


def test_a_code_works_once(app, store, clock):
    code = owner_code(store, clock())
    assert pair(app, code).status_code == 200
    again = pair(app, code)
    assert again.status_code == 403
    assert again.content_type == "application/problem+json"
    assert again.json["errors"][0]["pointer"] == "/code"


def test_a_code_ends_after_ten_minutes(app, store, clock):
    code = owner_code(store, clock())
    clock.forward(minutes=10)
    assert pair(app, code).status_code == 403


def test_a_code_is_read_as_it_is_meant(app, store, clock):
    code = owner_code(store, clock())
    typed = code.lower().replace("-", " ").replace("0", "o").replace("1", "l")
    assert pair(app, typed).status_code == 200


def test_wrong_codes_are_limited(app, store, clock):
    code = owner_code(store, clock())
    answers = [pair(app, "WRONG") for _ in range(21)]
    assert [a.status_code for a in answers] == [403] * 20 + [429]
    assert int(answers[-1].headers["Retry-After"]) > 0
    assert pair(app, code).status_code == 429


def test_no_token_and_unknown_token(app, owner):
    http = app.test_client()
    for headers in (
        {},
        {"Authorization": "Bearer nonsense"},
        {"Authorization": "Basic x"},
        {"Authorization": "Bearer"},
    ):
        answer = http.get("/api/v1/me", headers=headers)
        assert answer.status_code == 401
        assert answer.headers["WWW-Authenticate"].startswith("Bearer")
        assert answer.json["status"] == 401


def test_the_token_is_not_kept(owner, store):
    token = owner.headers["Authorization"].split()[1]
    assert token.encode() not in store.path.read_bytes()


def test_a_revoked_device_is_told_so_and_can_pair_again(app, owner, mechanic, store):
    assert owner.delete(f"/devices/{mechanic.device_id}").json["revoked_at"]
    refused = mechanic.get("/me")
    assert refused.status_code == 401
    assert refused.json["type"].endswith("device-revoked")
    code = owner.post(f"/people/{mechanic.person_id}/codes").json["code"]
    again = pair(app, code, mechanic.device_id)
    assert again.status_code == 200
    me = mechanic.get("/me", headers={"Authorization": f"Bearer {again.json['token']}"})
    assert me.json["device_id"] == mechanic.device_id


def test_the_mechanics_role_is_limited(mechanic, owner):
    person = {"id": mechanic.person_id, "name": "Now the owner", "role": "owner"}
    assert mechanic.put("/people", {"people": [person]}).status_code == 403
    assert mechanic.post(f"/people/{mechanic.person_id}/codes").status_code == 403
    assert mechanic.delete(f"/devices/{owner.device_id}").status_code == 403
    assert mechanic.get("/me").json["role"] == "mechanic"


def test_one_active_owner_stays(owner):
    person = {"id": owner.person_id, "name": "Owner", "role": "mechanic"}
    answer = owner.put("/people", {"people": [person]})
    assert answer.status_code == 409
    assert owner.get("/me").json["role"] == "owner"


def test_who_has_left_cannot_log_in(owner, mechanic):
    person = {"id": mechanic.person_id, "name": "Left", "role": "mechanic", "active": False}
    assert owner.put("/people", {"people": [person]}).status_code == 200
    assert mechanic.get("/me").status_code == 401
    assert owner.post(f"/people/{mechanic.person_id}/codes").status_code == 409
