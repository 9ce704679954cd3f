"""The customer's page of a record: plain HTML that works without JavaScript, on a phone and on A4."""

from __future__ import annotations

import hashlib
from base64 import b64encode
from collections.abc import Collection, Mapping
from datetime import date, datetime
from pathlib import Path
from typing import Any

import segno
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from service.record import rule, words

HERE = Path(__file__).parent
STYLE = (HERE / "record.css").read_text(encoding="utf-8")
_HASH = b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()
# No script, no form, nothing from elsewhere, in nobody's frame; the style only by its hash.
POLICY = (
    f"default-src 'none'; style-src 'sha256-{_HASH}'; img-src 'self'; base-uri 'none'; form-action 'none';"
    " frame-ancestors 'none'"
)
_templates = Environment(
    loader=FileSystemLoader(HERE), autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
)
_templates.globals.update(
    rule=rule.rule,
    verdict=rule.verdict,
    shown=rule.shown,
    number=words.number,
    listed=words.listed,
    band=words.band,
    photo_words=words.photo,
    style=Markup(STYLE),
)


def render(record: Mapping[str, Any], url: str, customer: str | None, lacking: Collection[str] = ()) -> str:
    """The page of a record as `records.shown` has it. The customer's name is rendered in and kept nowhere else.

    `lacking` are hashes of photos that have not reached the service.
    """
    document = _as_now(record["document"])
    at = datetime.fromisoformat(document["handed_over_at"])
    signed = datetime.fromisoformat(document["signed_at"])
    values = [*document["values"], *document["pairs"]]
    return _templates.get_template("page.html").render(
        record=record,
        document=document,
        customer=customer,
        day=words.day(at),
        signed=f"{words.day(signed)}, {signed:%H:%M}",
        lead=words.lead(document, record["counts"]),
        watch=words.watch(document),
        put_right=words.put_right(document),
        not_done=words.not_done(document),
        ruled=[one for one in values if one["value"] is not None and rule.scale_of(one)],
        settings=[one for one in values if one["value"] is not None and not rule.scale_of(one)],
        lacking=lacking,
        come_back=words.day(date.fromisoformat(document["come_back"]["by"])),
        qr=qr_svg(url),
        url=url,
    )


def _as_now(document: Mapping[str, Any]) -> dict[str, Any]:
    """A document with what records signed before did not have yet, so that they are drawn like the rest."""
    torques = [{"low": None, "high": None, "why_not": None} | one for one in document["torques"]]
    return {"noises": [], "symptoms": [], **document, "torques": torques}


def nothing_here() -> str:
    """What an unknown, expired or withdrawn link shows."""
    return _templates.get_template("nothing_here.html").render()


def qr_svg(url: str) -> Markup:
    """A QR code as SVG, dark on white whatever the page's colours are."""
    code = segno.make(url, error="m", micro=False)
    drawn = code.svg_inline(scale=3, border=4, light="#fff", dark="#000", omitsize=True, svgclass="qr", lineclass=None)
    return Markup(drawn.replace("<svg ", '<svg role="img" aria-label="QR code of this page" ', 1))
