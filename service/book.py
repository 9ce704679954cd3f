"""What every request of a running service reaches: the store, the settings, the clock."""

from __future__ import annotations

from datetime import datetime

from flask import current_app, request

from service.config import Config
from service.guesses import Guesses
from service.record.signing import SigningKey
from service.store import Store


def book() -> Store:
    return current_app.extensions["roadproof.store"]


def config() -> Config:
    return current_app.extensions["roadproof.config"]


def guesses() -> Guesses:
    return current_app.extensions["roadproof.guesses"]


def signing_key() -> SigningKey:
    return current_app.extensions["roadproof.key"]


def base_url() -> str:
    """The address that customers reach."""
    return (config().public_url or request.host_url).rstrip("/")


def now() -> datetime:
    return config().clock()
