"""The one exception of the computing room."""


class CannotCompute(ValueError):
    """An answer cannot be given for this input; `reason` says why, in words for the mechanic."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason
