"""What a running service is told from outside: paths, address, clock."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path


def utc_now() -> datetime:
    """The present moment, with its offset."""
    return datetime.now(UTC)


@dataclass(frozen=True)
class Config:
    """Settings of one service process.

    db_path      the SQLite file; the signing key lies beside it
    phone_dir    the built phone app, None where only the API is wanted
    public_url   the address customers reach, for links and QR codes; None: taken from the request
    shop_name    the name the shop gets at its first start
    pair_tries   wrong pairing codes one address may send in ten minutes
    clock        replaced in tests only
    """

    db_path: Path
    phone_dir: Path | None = None
    public_url: str | None = None
    shop_name: str = "Workshop"
    pair_tries: int = 20
    clock: Callable[[], datetime] = utc_now

    @property
    def key_path(self) -> Path:
        return Path(f"{self.db_path}.key")
