"""JSON on the way out: compact, in the order it was made, and never NaN or infinity."""

from __future__ import annotations

import json
from typing import Any

from flask.json.provider import DefaultJSONProvider


class Answers(DefaultJSONProvider):
    def dumps(self, obj: Any, **kwargs: Any) -> str:
        return json.dumps(obj, ensure_ascii=False, separators=(",", ":"), allow_nan=False)

    def response(self, *args: Any, **kwargs: Any):
        text = self.dumps(self._prepare_response_obj(args, kwargs))
        return self._app.response_class(text, mimetype="application/json")
