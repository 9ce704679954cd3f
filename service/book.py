"""What every request of a running service reaches: the store, the settings, the clock."""

from __future__ import annotations

from datetime import datetime

from flask import current_app

from service.config import Config
from service.guesses import Guesses
from service.store import Store


def book() -> Store:
    return current_app.extensions["roadproof.store"]


def config() -> Config:
    return current_app.extensions["roadproof.config"]


def guesses() -> Guesses:
    return current_app.extensions["roadproof.guesses"]


def now() -> datetime:
    return config().clock()
