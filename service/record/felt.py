"""What was heard and felt on a bike, and whether it was still so in the end.

The book's own rule, which the phone follows too: of a sound the last note counts, and a note of level 0 says that it
was listened for and is gone; of a symptom the last adjustment made because of it counts, and only "better" settles it.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from service.catalogue import Catalogue
from service.domain.handed_over import Entry


def noises(standing: list[Entry], stored: Mapping[str, Mapping], catalogue: Catalogue) -> list[dict[str, Any]]:
    """Each sound that was noted, with when it was heard, as it was noted last."""
    sounds, whens = catalogue.items["sounds"], catalogue.items["whens"]
    newest = {data["sound"]: data for data in _data(standing, stored, "noise")}
    return [
        {
            "sound": id,
            "label": _sentence_case(sounds[id]["label"]),
            "when": [whens[when]["label"] for when in data["when"]],
            "gone": data.get("level") == 0,
        }
        for id, data in newest.items()
    ]


def symptoms(standing: list[Entry], stored: Mapping[str, Mapping], catalogue: Catalogue) -> list[dict[str, Any]]:
    """Each symptom that something was turned for, and whether it got better by it."""
    known = catalogue.items["symptoms"]
    newest = {data["because"]: data for data in _data(standing, stored, "adjustment") if data.get("because")}
    return [
        {"symptom": id, "label": _sentence_case(known[id]["label"]), "better": data.get("effect") == "better"}
        for id, data in newest.items()
    ]


def _data(standing: list[Entry], stored: Mapping[str, Mapping], kind: str) -> list[dict[str, Any]]:
    return [json.loads(stored[entry.id]["body"])["data"] for entry in standing if entry.kind == kind]


def _sentence_case(words: str) -> str:
    return words[0].upper() + words[1:]
